import { expect, test } from 'vitest'
import { alarmText, alarmTexts } from '../../../protocols/words/alarm-texts.ts'
import { healthCauses } from '../../../server/engine/settings/station-file.ts'

test('each health cause, a passed limit and advice has a text, and no text is left over', () => {
  expect(Object.keys(alarmTexts).toSorted()).toEqual([...healthCauses, 'limit', 'advice'].toSorted())
})

test('each text says what it means, what to do and what can hurt, and defers to manual and site', () => {
  for (const text of Object.values(alarmTexts)) {
    expect(text.steps.length).toBeGreaterThan(1)
    expect(text.cautions.join(' ')).toContain('manual')
  }
})

test('the order of work at a full trap: stop, protect, empty, refit, leak check, go on', () => {
  const { steps, cautions, meaning } = alarmTexts.condensate
  const places = [/Stop the pump/, /gloves and eye protection/, /Empty/, /Refit/, /leak check/i, /Go on/].map((word) =>
    steps.findIndex((step) => word.test(step)),
  )
  expect(places).toEqual([...places].toSorted((a, b) => a - b))
  expect(places).not.toContain(-1)
  expect(cautions.join(' ')).toMatch(/acidic/)
  expect(meaning).toMatch(/doubt/)
})

test('advice has its own text, though its cause is a limit', () => {
  expect(alarmText({ class: 'advice', cause: 'limit' }).title).toBe(alarmTexts.advice.title)
  expect(alarmText({ class: 'limit', cause: 'limit' }).title).toBe(alarmTexts.limit.title)
})
