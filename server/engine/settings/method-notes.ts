import type { StationFile } from './station-shape.ts'

/**
 * Where the way of measuring may not be the one that a rule asks for. Titles and scopes of the methods are from memory:
 * the permit, and the method's own text, decide.
 */
const notes: Readonly<Record<StationFile['regime'], string>> = {
  eu: 'the EN standard reference methods are not those of portable cells (NOx by chemiluminescence, EN 14792; CO by infrared, EN 15058; O2 by paramagnetism, EN 14789): another method may need its equivalence to the reference shown (EN 14793), or the consent of the authority',
  us: 'the methods for portable analysers (CTM-030, CTM-034, ASTM D6522) cover stated fuels and uses only, foremost engines, turbines, boilers and process heaters on natural gas, for NO, NO2, CO and O2: elsewhere equivalence to a reference method, or the consent of the authority, may be needed',
  custom:
    'no regime is chosen: whether the method of measuring may be used for this fuel and plant is for the permit and the authority to say',
}

/** What every export says of the method. */
export const methodNote = ({ regime }: StationFile): string => notes[regime]
