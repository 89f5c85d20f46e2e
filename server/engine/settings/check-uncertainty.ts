import type { Examination } from './findings.ts'

/** What is said of a channel's uncertainty, against what the channel is: figures of a sum, of what is no gas, or of gases elsewhere would be read by nobody. */
export function checkUncertainty(of: Examination): void {
  of.file.channels.forEach((channel, place) => {
    const { id, species, quantity, sumOf, uncertainty, stream } = channel
    if (!uncertainty || of.unsure.channels.has(place)) return
    const path = ['channels', place, 'uncertainty'] as const
    if (sumOf) of.add(path, `does not fit the sum ${id}; say it of its members ${sumOf.join(', ')}`)
    else if (species === undefined && quantity !== 'humidity')
      of.add(path, `does not fit ${id}, which is no gas and no humidity; leave it out`)
    for (const other of Object.keys(uncertainty.crossSensitivity ?? {})) {
      const at = [...path, 'crossSensitivity', other]
      const found = of.channel(at, other)
      if (!found || !of.isSure(other)) continue
      if (found.id === id) of.add(at, `"${other}" is the channel itself; name another gas`)
      else if (found.species === undefined || found.sumOf || found.stream !== stream)
        of.add(at, `"${other}" is no measured gas of stream "${stream}"; name one that the same instrument measures`)
    }
  })
  const { moisture, moisturePlusMinus } = of.file.conversions
  if (moisturePlusMinus === undefined || of.has('conversions', 'moisture')) return
  if (!moisture || !('percent' in moisture))
    of.add(
      ['conversions', 'moisturePlusMinus'],
      `${moisturePlusMinus} does not fit a moisture that is not fixed; set conversions.moisture.percent, or leave it out`,
    )
}
