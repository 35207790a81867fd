import { fit, slipFit } from '../circuit/likelihood.ts';
import type { Meter } from '../circuit/meter.ts';
import type { PartMode } from '../circuit/part-model.ts';
import type { Evidence, Look, LookFinding, TakenReading } from './evidence.ts';
import { type Conducting, Legs } from './legs.ts';
import { type ModeSources, pieceModes } from './piece-modes.ts';
import type { FaultSettings } from './settings.ts';
import { warmRatios } from './warm.ts';

/** What is known of one piece from looking at it and from reading it on its own legs. */
export interface OwnEvidence {
  /** Fit when healthy. */
  readonly healthy: number;
  /** Fit in each of its modes; for a joint the one entry is the ratio open : sound. */
  readonly modes: number[];
  /** Overall fit given no, and given a, failure of several parts of its bank. */
  readonly fit: readonly [number, number];
  /** Ids of the readings and looks. */
  readonly ids: number[];
}

/**
 * How much likelier a finding is on a failed part than on a sound one. Estimates of our own, to be
 * replaced by a shop's counts.
 */
const PART_FINDING_RATIO: Readonly<Record<LookFinding, number>> = {
  burnt: 40,
  cracked: 15,
  leaking: 8,
  reworked: 2,
  dirty: 1.2,
  missing: 1,
  'wrong part': 2,
  'off its pad': 1,
  // What was injected and how the part failed decide: see `warm.ts`.
  warm: 1,
  'looks sound': 0.7,
};
/** The same for a joint that is open. */
const JOINT_FINDING_RATIO: Readonly<Record<LookFinding, number>> = {
  burnt: 20,
  cracked: 3000,
  leaking: 2,
  reworked: 5,
  dirty: 2,
  missing: 1,
  'wrong part': 1,
  'off its pad': 1e6,
  warm: 1,
  'looks sound': 0.1,
};

/**
 * Chance that a look finds a mark: burnt or cracked on a part, cracked or off its pad on a joint.
 * Estimates of our own, in keeping with the ratios above; what the next step expects of a look.
 */
export const MARK_CHANCE: Readonly<Record<'part' | 'joint', { failed: number; sound: number }>> = {
  part: { failed: 0.3, sound: 0.0075 },
  joint: { failed: 0.9, sound: 0.0003 },
};

/** Evidence that speaks of one piece alone, by `part:piece` and `joint:pin:repairs`. */
export function ownEvidence(
  sources: ModeSources,
  evidence: Evidence,
  meter: Meter,
): Map<string, OwnEvidence> {
  const found = new Map<string, OwnEvidence>();
  for (const look of evidence.looks) weighLook(sources, found, look);
  for (const reading of evidence.readings) {
    if (reading.offPart !== undefined) weighLegReading(sources, found, reading, meter);
  }
  for (const [key, own] of found) {
    const [part = '', piece] = key.split(':');
    if (part === 'joint') continue;
    const { chances } = pieceModes(sources, Number(part), Number(piece));
    found.set(key, { ...own, fit: overallFit(own, chances, sources.settings) });
  }
  return found;
}

function overallFit(
  own: OwnEvidence,
  prior: readonly number[],
  settings: FaultSettings,
): readonly [number, number] {
  let alone = own.healthy;
  let sum = 0;
  own.modes.forEach((fitHere, k) => {
    alone += (prior[k] as number) * (fitHere - own.healthy);
    sum += prior[k] as number;
  });
  let together = own.healthy;
  own.modes.forEach((fitHere, k) => {
    const chance = sum > 0 ? (settings.bankMemberChance * (prior[k] as number)) / sum : 0;
    together += chance * (fitHere - own.healthy);
  });
  return [alone, together];
}

function entry(found: Map<string, OwnEvidence>, key: string, modeCount: number): OwnEvidence {
  let own = found.get(key);
  if (own === undefined) {
    own = { healthy: 1, modes: new Array<number>(modeCount).fill(1), fit: [1, 1], ids: [] };
    found.set(key, own);
  }
  return own;
}

function weighLook(sources: ModeSources, found: Map<string, OwnEvidence>, look: Look): void {
  if (look.pin !== undefined) {
    const key = `joint:${look.pin}:${look.state.reflowed.get(look.pin) ?? 0}`;
    const own = entry(found, key, 1);
    own.modes[0] = (own.modes[0] as number) * JOINT_FINDING_RATIO[look.finding];
    own.ids.push(look.id);
  } else if (look.part !== undefined) {
    const piece = look.state.piece.get(look.part) ?? 0;
    const { modes } = pieceModes(sources, look.part, piece);
    const own = entry(found, `${look.part}:${piece}`, modes.length);
    const ratios = partRatios(sources, modes, look);
    modes.forEach((_, k) => {
      own.modes[k] = (own.modes[k] as number) * (ratios[k] as number);
    });
    own.ids.push(look.id);
  }
}

/** By mode: how much likelier it makes the finding than a sound part does. */
function partRatios(
  { circuit }: ModeSources,
  modes: readonly PartMode[],
  { part = -1, finding, injected }: Look,
): number[] {
  const model = circuit.models[part];
  const body = circuit.board.parts[part];
  if (finding !== 'warm' || model === undefined || body === undefined) {
    return modes.map(() => PART_FINDING_RATIO[finding]);
  }
  return warmRatios(body, model, modes, injected?.amps);
}

/** A reading on the part's own legs depends on nothing but the part. */
function weighLegReading(
  sources: ModeSources,
  found: Map<string, OwnEvidence>,
  reading: TakenReading,
  meter: Meter,
): void {
  const { circuit, settings } = sources;
  const part = reading.offPart as number;
  const model = circuit.models[part];
  const red = reading.red.pin;
  const black = reading.black.pin;
  if (model === undefined || red === undefined || black === undefined) return;
  const piece = reading.state.piece.get(part) ?? 0;
  const { modes } = pieceModes(sources, part, piece);
  const own = entry(found, `${part}:${piece}`, modes.length);
  const legs = new Legs(circuit.board.parts[part]?.pins ?? []);
  const weigh = (conducting: Conducting, spread: number): number => {
    const seen = legs.predict(conducting, red, black, spread);
    const explained = fit(meter, reading.mode, reading.value, seen, { isListed: true });
    const wrong = settings.slipRatio + settings.stubbornRatio;
    return (1 - wrong) * explained + wrong * slipFit(reading.value);
  };
  const healthy = { resistances: model.healthy, junctions: model.junctions };
  found.set(`${part}:${piece}`, {
    ...own,
    healthy: own.healthy * weigh(healthy, 0),
    modes: modes.map((mode, k) => {
      const kept = mode.opens ? { resistances: [], junctions: [] } : healthy;
      const failed = {
        resistances: [...kept.resistances, ...mode.joins],
        junctions: [...kept.junctions, ...(mode.junctions ?? [])],
      };
      return (own.modes[k] as number) * weigh(failed, mode.spread);
    }),
    ids: [...own.ids, reading.id],
  });
}
