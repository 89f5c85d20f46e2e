import type { InstrumentFault } from '../../protocols/words/phases.ts'
import { type LineWriter, lineWriter, type Written } from '../lines/line-writer.ts'
import type { Burner } from '../plant/burner.ts'
import type { Gas } from '../plant/flue-gas.ts'
import { type Cell, makeCell } from '../sampling/cell.ts'
import type { Train } from '../sampling/train.ts'
import { type Cycle, makeCycle } from './cycle.ts'
import type { InstrumentSettings, Writable } from './settings.ts'

export interface Instrument {
  readonly cells: readonly Cell[]
  readonly cycle: Cycle
  readonly writer: LineWriter
  readonly faults: ReadonlySet<InstrumentFault>
  cellDegC: number
  /** Lets the gas act on the cells; sets faults. clogged: share of the filter. */
  measure(gas: Gas, train: Train, clogged: number, stepSeconds: number, atMs: number): void
  /** The values of one line, in the profile’s order; overwritten by the next call. */
  values(burner: Burner, train: Train): readonly Written[]
  isOver(cell: Cell): boolean
  isUnder(cell: Cell): boolean
}

const decimalsOf = (resolution: number): number => Math.max(0, Math.min(6, Math.ceil(-Math.log10(resolution) - 1e-9)))
const defaultDecimals: Partial<Record<Writable, number>> = {
  'computed-CO2': 2,
  'computed-NOx': 1,
  'gas-temperature': 1,
  'sample-flow': 2,
  'cooler-outlet': 1,
  'cell-temperature': 1,
  'condensate-level': 0,
  load: 0,
}

export function makeInstrument(
  settings: InstrumentSettings,
  stationZone: string,
  nominalFlow: number,
  seed: number,
): Instrument {
  const cells = settings.cells.map((cell) => makeCell(cell, seed))
  const byGas = new Map(cells.map((cell) => [cell.settings.species as Writable, cell]))
  const { profile } = settings
  const written = profile.fields.map((field) => settings.writes.find((one) => one.field === field.name))
  const decimals = written.map((one) => {
    const cell = one ? byGas.get(one.what) : undefined
    return one?.decimals ?? (cell ? decimalsOf(cell.settings.resolution) : ((one && defaultDecimals[one.what]) ?? 0))
  })
  const over = profile.over[0] ?? null
  const under = profile.under[0] ?? null
  const values: Written[] = written.map(() => null)
  const faults = new Set<InstrumentFault>()
  const set = (fault: InstrumentFault, stands: boolean): void => {
    if (stands) faults.add(fault)
    else faults.delete(fault)
  }

  const instrument: Instrument = {
    cells,
    faults,
    cellDegC: settings.room.meanDegC + settings.selfHeating,
    cycle: makeCycle(settings.cycle),
    writer: lineWriter(profile, { stationZone, lineEnd: settings.lineEnd, template: settings.template, decimals }),
    isOver: (cell) => cell.reading > cell.settings.range[1],
    isUnder: (cell) => cell.reading < cell.settings.range[0] - 0.1 * (cell.settings.range[1] - cell.settings.range[0]),
    measure(gas, train, clogged, stepSeconds, atMs) {
      const hour = (atMs % 86_400_000) / 3_600_000
      const { room, faultsWhen } = settings
      instrument.cellDegC =
        room.meanDegC + room.swing * Math.cos((2 * Math.PI * (hour - room.warmestHour)) / 24) + settings.selfHeating
      const slowness = Math.min(20, Math.max(1, nominalFlow / Math.max(train.litresPerMinute, 1e-6)))
      const isZeroing = instrument.cycle.phase === 'zero'
      for (const cell of cells) cell.step(gas, stepSeconds, slowness, instrument.cellDegC, isZeroing)
      set('condensate', train.isTrapFull)
      set('pump-flow', train.litresPerMinute < faultsWhen.flowBelow * (faults.has('pump-flow') ? 1.1 : 1))
      set('filter', clogged > faultsWhen.cloggedAbove)
      set('cell-temperature', instrument.cellDegC > faultsWhen.cellAboveDegC)
      set('cell-over-range', cells.some(instrument.isOver))
    },
    values(burner, train) {
      for (let index = 0; index < written.length; index++) {
        const what = written[index]?.what
        values[index] = what === undefined ? null : valueFor(what, burner, train)
      }
      return values
    },
  }
  return instrument

  function cellValue(cell: Cell): Written {
    return instrument.isOver(cell) ? over : instrument.isUnder(cell) ? under : cell.reading
  }

  function valueFor(what: Writable, burner: Burner, train: Train): Written {
    switch (what) {
      case 'computed-CO2': {
        const oxygen = byGas.get('O2')
        return oxygen ? Math.max(0, (settings.carbonDioxideMaximum * (20.95 - oxygen.reading)) / 20.95) : null
      }
      case 'computed-NOx': {
        const [no, no2] = [byGas.get('NO'), byGas.get('NO2')]
        return no && no2 && !instrument.isOver(no) && !instrument.isOver(no2) ? no.reading + no2.reading : over
      }
      case 'gas-temperature':
        return burner.gasTemperature
      case 'sample-flow':
        return train.litresPerMinute
      case 'cooler-outlet':
        return train.coolerDegC
      case 'cell-temperature':
        return instrument.cellDegC
      case 'condensate-level':
        return train.trapPercent
      case 'load':
        return burner.loadPercent
      case 'state':
        return settings.words?.[instrument.cycle.phase] ?? null
      case 'plant':
        return (burner.plant === 'unknown' ? null : settings.words?.plant[burner.plant]) ?? null
      case 'faults':
        return faultWords()
      default: {
        const cell = byGas.get(what)
        return cell ? cellValue(cell) : null
      }
    }
  }

  function faultWords(): Written {
    if (!settings.words) return null
    const said: string[] = []
    for (const fault of faults) {
      const word = settings.words.faults[fault]
      if (word !== undefined) said.push(word)
    }
    return said.length > 0 ? said.join(settings.words.between) : settings.words.noFault
  }
}
