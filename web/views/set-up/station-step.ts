import { html, nothing } from 'lit'
import { averageText } from '../../format/durations.ts'
import { unitName } from '../../format/units.ts'
import { streamTexts } from '../../texts/set-up.ts'
import { channelsIn, isSpecies, type LimitDraft, record, type StationDraft } from './draft.ts'
import { choiceField, textField } from './fields.ts'
import { testTone } from './test-tone.ts'
import type { SetUpWork } from './work.ts'

const regimes: readonly (readonly [string, string])[] = [
  ['eu', 'EU: half-hours, two thirds, 273.15 K, mg/m³'],
  ['us', 'US: hours by quadrants, 293.15 K, ppm'],
  ['custom', 'custom: as the station file says'],
]
const averagesOf: Readonly<Record<StationDraft['regime'], readonly string[]>> = {
  eu: ['PT30M'],
  us: ['PT1H'],
  custom: ['PT1M', 'PT30M'],
}

/** The lengths of averages that the station file has, or those of its regime. */
function averages(work: SetUpWork, of: unknown = 'block'): readonly string[] {
  const told = record(work.settled?.averaging)[of === 'rolling' ? 'rolling' : 'blocks']
  return Array.isArray(told) ? told.map(String) : of === 'rolling' ? [] : averagesOf[work.station?.regime ?? 'eu']
}

/** Station, averaging and limits. What the permit says comes before any default here. */
export function stationStep(work: SetUpWork) {
  const { station, limits } = work
  if (!station) return nothing
  const put = (what: Partial<StationDraft>) => {
    Object.assign(station, what)
    work.edited()
  }
  return html`<div class="grid">
      ${textField({ id: 'station-name', label: 'Name of the station', faults: work.faultsAt('station.name') }, station.name, (name) => put({ name }), { placeholder: 'as reports shall call it' })}
      ${textField({ id: 'station-zone', label: 'Time zone', faults: work.faultsAt('station.timeZone'), hint: 'a name as Europe/Vienna; empty: UTC' }, station.timeZone, (timeZone) => put({ timeZone }))}
      ${choiceField({ id: 'regime', label: 'Regime', hint: 'presets for what is not set here' }, station.regime, regimes, (regime) => put({ regime: regime as StationDraft['regime'] }))}
      ${textField({ id: 'reference', label: 'Reference oxygen, vol%', faults: work.faultsAt('conversions.referenceOxygen'), hint: 'of the permit; empty: nothing is referred' }, station.referenceOxygen, (referenceOxygen) => put({ referenceOxygen }), { numeric: true })}
      ${textField({ id: 'every', label: 'A line every … seconds', faults: work.faultsAt(`streams[${work.place}].expectEverySeconds`), hint: 'sets what a gap is' }, station.everySeconds, (everySeconds) => put({ everySeconds }), { numeric: true })}
      ${textField({ id: 'settle', label: 'Wait after a purge, seconds', faults: work.faultsAt('phases.settle'), hint: 'twice the response time t95 of the slowest cell; empty: by each channel’s t95' }, station.settleSeconds, (settleSeconds) => put({ settleSeconds }), { numeric: true })}
      ${choiceField(
        { id: 'otherwise', label: 'Where nothing tells the phase', hint: 'only measuring counts in averages' },
        station.otherwise,
        [
          ['unknown', 'it is unknown, and does not count'],
          ['measure', 'it counts as measuring'],
        ],
        (otherwise) => put({ otherwise: otherwise === 'measure' ? 'measure' : 'unknown' }),
      )}</div>
    ${work.streams.length > 1 ? html`<p class="small soft">${streamTexts.everyOf(work.stream)}</p>` : nothing}
    <h3>Limits</h3>
    ${limits.length === 0 ? html`<p class="soft small">None yet. They come from the permit; a station runs without any.</p>` : html`<ul class="columns">${limits.map((limit, place) => limitRow(work, limit, place))}</ul>`}
    <div class="row"><button @click=${() => addLimit(work)} ?disabled=${!work.columns.some(({ what }) => isSpecies(what))}>Add a limit</button>
      <button @click=${testTone}>Try the sound</button><span class="soft small">A short tone from this computer: an alarm that nobody can hear wakes nobody.</span></div>`
}

function addLimit(work: SetUpWork): void {
  const gases = work.columns.filter(({ what }) => isSpecies(what))
  const channel = gases.find(({ what }) => what === 'CO') ?? gases.find(({ what }) => what !== 'O2') ?? gases[0]
  if (!channel) return
  work.limits.push({
    channel: channel.id,
    value: '',
    unit: work.station?.regime === 'us' ? 'ppm' : 'mg/m3',
    average: averages(work)[0] ?? 'PT30M',
    referenceOxygen: work.station?.referenceOxygen ?? '',
    raw: { channel: '', of: 'block' },
  })
  work.edited()
}

function limitRow(work: SetUpWork, limit: LimitDraft, place: number) {
  const put = (what: Partial<LimitDraft>) => {
    Object.assign(limit, what)
    work.edited()
  }
  const at = (key: string) => work.faultsAt(`limits[${place}].${key}`)
  const id = (part: string) => `limit-${place}-${part}`
  const others = channelsIn(work.settled).filter(({ stream }) => stream !== work.stream)
  const ids = [...work.columns.filter(({ what }) => what !== ''), ...others].map(({ id: channel }) => String(channel))
  const channels = [...new Set(ids)].map((channel) => [channel, channel] as const)
  return html`<li><fieldset><legend>Limit ${place + 1}</legend>
    ${choiceField({ id: id('channel'), label: 'Channel', faults: at('channel') }, limit.channel, channels.some(([key]) => key === limit.channel) ? channels : [[limit.channel, limit.channel], ...channels], (channel) => put({ channel }))}
    ${textField({ id: id('value'), label: 'Value', faults: at('value') }, limit.value, (value) => put({ value }), { numeric: true })}
    ${choiceField(
      { id: id('unit'), label: 'Unit', faults: at('unit') },
      limit.unit,
      [...new Set(['mg/m3', 'ppm', 'vol%', limit.unit])].map((unit) => [unit, unitName(unit) || 'choose …'] as const),
      (unit) => put({ unit: unit as LimitDraft['unit'] }),
    )}
    ${
      limit.raw.of === 'reading'
        ? html`<p class="small soft">of each reading</p>`
        : choiceField(
            { id: id('average'), label: 'Average over', faults: at('average') },
            limit.average,
            [...new Set([...averages(work, limit.raw.of), limit.average])].map(
              (each) => [each, averageText(each) || 'choose …'] as const,
            ),
            (average) => put({ average }),
          )
    }
    ${textField({ id: id('reference'), label: 'At oxygen, vol%', faults: at('referenceOxygen'), hint: 'empty: as measured' }, limit.referenceOxygen, (referenceOxygen) => put({ referenceOxygen }), { numeric: true })}
    <button class="remove" @click=${() => {
      work.limits.splice(place, 1)
      work.edited()
    }} aria-label=${`Remove limit ${place + 1}`}>Remove</button></fieldset></li>`
}
