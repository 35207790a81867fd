import type { MeterMode } from '../../circuit/reading.ts';

/** One way to have a meter measure: what sets it, and what asks for each reading. */
export interface ScpiWay {
  /** Each its own line; the meter's error queue tells whether it took them. */
  readonly set: readonly string[];
  readonly read: string;
  /** Sent after them, for what it is worth: a meter that knows none of it measures all the same. */
  readonly nice: readonly string[];
}

/**
 * Ways to measure in a mode, best first. Instruments differ in which part of SCPI they know: most take
 * CONFigure and READ?, some only a sense function, some only the one-line MEASure query.
 */
function waysOf(name: string, short: string, nice: readonly string[] = []): ScpiWay[] {
  return [
    { set: [`CONF:${short}`], read: 'READ?', nice },
    { set: [`FUNC "${short}"`], read: 'READ?', nice },
    { set: [`CONFIGURE:${name}`], read: 'READ?', nice: [] },
    { set: [], read: `MEAS:${short}?`, nice: [] },
  ];
}

/** One period of the mains: quick enough to follow a hand, and hum averages out. */
const ohmsWays = waysOf('RESISTANCE', 'RES', ['SENS:RES:NPLC 1', 'SENS:RES:RANG:AUTO ON']);

const WAYS: Readonly<Record<MeterMode, readonly ScpiWay[]>> = {
  // The threshold of an instrument's own beeper is often out of reach; the tool holds the ohms against its own.
  continuity: ohmsWays,
  ohms: ohmsWays,
  // No common command limits the volts of an ohms range.
  'low-voltage': [],
  'four-wire': waysOf('FRESISTANCE', 'FRES', ['SENS:FRES:NPLC 1', 'SENS:FRES:RANG:AUTO ON']),
  diode: waysOf('DIODE', 'DIOD'),
  millivolts: waysOf('VOLTAGE:DC', 'VOLT:DC', ['SENS:VOLT:DC:NPLC 10']),
};

/** None where no common command sets the mode. */
export function scpiWays(mode: MeterMode): readonly ScpiWay[] {
  return WAYS[mode];
}
