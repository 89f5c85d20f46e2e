import { isConvertible, isPollutant, oxygenChannelOf } from '../conversions/channel-gas.ts'
import { unitKind } from '../conversions/units.ts'
import type { Examination } from './findings.ts'

/** Corrections and conversions: the channels that they name must be able to do what is asked of them. */
export function checkConversions(of: Examination): void {
  const { conversions, corrections } = of.file
  const { moisture, oxygenChannel, referenceOxygen, ambientOxygen } = conversions
  for (const id of Object.keys(corrections.span)) {
    const path = ['corrections', 'span', id]
    const channel = of.channel(path, id)
    if (channel?.origin === 'computed')
      of.add(
        path,
        `"${id}" was computed by the instrument and is never corrected again; correct what it was computed from`,
      )
    if (channel?.sumOf) of.add(path, `"${id}" is a sum; correct its members ${channel.sumOf.join(', ')}`)
  }
  if (moisture && 'channel' in moisture) {
    const channel = of.channel(['conversions', 'moisture', 'channel'], moisture.channel)
    const isWater = channel?.species === 'H2O' || channel?.quantity === 'humidity'
    if (channel && of.isSure(channel.id) && !(isWater && unitKind(channel.unit) === 'fraction')) {
      of.add(
        ['conversions', 'moisture', 'channel'],
        `"${channel.id}" tells no water vapour as a volume fraction; name a channel of species H2O or quantity humidity in vol%`,
      )
    }
  }
  if (oxygenChannel !== undefined) {
    const channel = of.channel(['conversions', 'oxygenChannel'], oxygenChannel)
    if (channel && of.isSure(channel.id) && (channel.species !== 'O2' || unitKind(channel.unit) !== 'fraction'))
      of.add(
        ['conversions', 'oxygenChannel'],
        `"${oxygenChannel}" tells no oxygen as a volume fraction; name a channel of species O2 in vol%`,
      )
  }
  if (referenceOxygen !== undefined && referenceOxygen >= ambientOxygen)
    of.add(['conversions', 'referenceOxygen'], `${referenceOxygen} must lie below ambientOxygen ${ambientOxygen}`)
  if (referenceOxygen !== undefined) checkOxygen(of, referenceOxygen)
}

/** Each channel that is referred must know its oxygen. */
function checkOxygen(of: Examination, referenceOxygen: number): void {
  const { channels, conversions } = of.file
  if (
    conversions.oxygenChannel !== undefined ||
    of.unsure.settings.has('conversions.oxygenChannel') ||
    of.unsure.channels.size > 0
  )
    return
  const oxygen = channels.filter(({ species }) => species === 'O2').map(({ id }) => id)
  const lost = channels
    .filter(
      (channel, index) => isPollutant(channel) && isConvertible(channel) && oxygenChannelOf(of.file, index) === null,
    )
    .map(({ id }) => id)
  if (lost.length === 0) return
  const way =
    oxygen.length === 0 ? 'add a channel of species O2' : `set conversions.oxygenChannel to one of ${oxygen.join(', ')}`
  of.add(
    ['conversions', 'referenceOxygen'],
    `${referenceOxygen} needs one O2 channel for ${lost.join(', ')}, and there ${oxygen.length === 0 ? 'is none' : `are ${oxygen.length}`}; ${way}`,
  )
}
