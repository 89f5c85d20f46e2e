import { crossMatrix } from '../engine/corrections/cross-sensitivity.ts'
import type { StationFile } from '../engine/settings/station-file.ts'

const purgeWords: Readonly<Record<StationFile['corrections']['purgeAir'], string>> = {
  analyser:
    'Purge air enters at the analyser. A purge proves the zero of the cells, not the probe, not the sampling line, not leaks or losses on the way (bias of the system).',
  probe:
    'Purge air enters at the probe. A purge proves the zero of cells, line and probe together; it does not prove leaks that only flue gas under suction shows, nor losses of the gas to be measured on the way.',
  'not-stated':
    'Not stated where purge air enters. A purge is taken to prove the zero of the cells alone: not the probe, not the sampling line, not leaks or losses on the way.',
}

/** What the corrections can and cannot prove, in words beside the settings: place and text. */
export function correctionWords(station: StationFile): (readonly [place: string, text: string])[] {
  const selfZeroing = station.channels.filter((channel) => channel.selfZeroing && channel.species).map(({ id }) => id)
  return [
    ['what a purge proves', purgeWords[station.corrections.purgeAir]],
    ...(selfZeroing.length > 0
      ? [
          [
            'internal zero',
            `The instrument zeroes ${selfZeroing.join(', ')} by itself: internal zero, drift not observable.`,
          ] as const,
        ]
      : []),
    ...station.streams.flatMap(({ id }) => {
      const matrix = crossMatrix(station, id)
      if (!matrix) return []
      const cells = matrix.channels.map((channel) => station.channels[channel]?.id).join(', ')
      return [
        [
          `cross-sensitivity of stream ${id}`,
          `Cells ${cells} are solved together; condition number ${Number(matrix.condition.toPrecision(4))}: relative errors of readings grow by no more.`,
        ] as const,
      ]
    }),
  ]
}
