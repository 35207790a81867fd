// A meter on hidden copper: 0.1 mΩ steps, a gain error it keeps for the whole job, a little noise.
import { readFileSync } from 'node:fs';
import { loadMeters } from '../../dist/index.js';
import { normal } from './copper-draw.mjs';
import { dice } from './dice.mjs';

const STEP_OHMS = 1e-4;
const NOISE_OHMS = 5e-5;
const STEP_VOLTS = 1e-5;
const GAIN_RATIO = 0.005;
const MOST_OHMS = 200;

/** The catalogue of meters. */
export const METERS = loadMeters(
  readFileSync(new URL('../../dist/circuit/meters.yaml', import.meta.url), 'utf8'),
  'meters.yaml',
);

/** What the engine is told of the meter. */
export const MILLIOHM_METER = METERS.get('handheld and milliohm meter');

/**
 * A bench like `inner` that reads copper from the truth.
 * @param slipRatio share of copper readings taken at the pads of some other part
 */
export function onCopper(inner, { truth, seed, slipRatio = 0 }) {
  const next = dice(seed * 7 + 3);
  const gain = 1 + GAIN_RATIO * normal(next);
  const astray = (point) => {
    const net = truth.board.nets[point.net];
    return { net: net.index, pin: net.pins[Math.floor(next() * net.pins.length)] };
  };
  const fourWire = (probe, state) => {
    const ohms = truth.ohms(probe, state) * gain + NOISE_OHMS * normal(next);
    if (ohms > MOST_OHMS) return { kind: 'over' };
    return {
      kind: 'ohms',
      ohms: Math.max(0, Math.round(ohms / STEP_OHMS) / Math.round(1 / STEP_OHMS)),
    };
  };
  const millivolts = (probe, state) => {
    const volts = truth.volts(probe, state) * gain;
    const noise = STEP_VOLTS * 0.5 * normal(next);
    return {
      kind: 'volts',
      volts: Math.round((volts + noise) / STEP_VOLTS) / Math.round(1 / STEP_VOLTS),
    };
  };
  return {
    get faultyParts() {
      return inner.faultyParts;
    },
    look: (part, state) => inner.look(part, state),
    answer(probe, state) {
      const isCopper = probe.mode === 'four-wire' || probe.mode === 'millivolts';
      if (!isCopper || probe.offPart !== undefined) return inner.answer(probe, state);
      const strays = next() < slipRatio;
      const at = strays ? { ...probe, red: astray(probe.red) } : probe;
      return probe.mode === 'four-wire' ? fourWire(at, state) : millivolts(at, state);
    },
  };
}
