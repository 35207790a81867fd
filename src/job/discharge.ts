/** What may still be charged: which voltages have to be measured before a cold reading, and which were. */
import type { Board } from '../board/model.ts';
import { type StoredEnergy, storedEnergy } from '../board/stored-energy.ts';
import type { Probe } from '../circuit/reading.ts';
import { netPairKey } from '../circuit/state.ts';
import type { Volts } from './bench-log.ts';
import type { DerivedJob } from './derive.ts';
import { DEFAULT_DISCHARGE_LIMITS, type DischargeLimits } from './discharge-limits.ts';

/**
 * `unread`: not measured since power was last on. `empty`: below the warning. `again`: it was
 * discharged, and electrolytics recover part of their charge, so it is measured once more from
 * `againAt` on. `charged`: above the warning. `refused`: above the lines at which no cold reading is taken.
 */
export type ChargeState = 'unread' | 'empty' | 'again' | 'charged' | 'refused';

/** The charge between two nets, as far as it is known. */
export interface Charge {
  /** Positive side first where that is known. */
  readonly nets: readonly [number, number];
  /** The capacitors there; none when somebody measured where the board file has none worth asking for. */
  readonly stored?: StoredEnergy;
  readonly state: ChargeState;
  /** The last measurement since power was on. */
  readonly last?: Volts;
  /** ½·C·V² of it, J; 0 where no capacitor is known. */
  readonly joules: number;
  /** Time from which it is to be measured again, ms since 1970; with state `again`. */
  readonly againAt?: number;
}

/** Every charge worth a measurement, the largest stored energy first, then other pairs measured. */
export function chargesOf(
  board: Board,
  job: DerivedJob,
  limits: DischargeLimits = DEFAULT_DISCHARGE_LIMITS,
): Charge[] {
  const since = lastPowered(job);
  const read = new Map<string, Volts[]>();
  for (const one of job.residuals) {
    if (one.event < since) continue;
    const key = netPairKey(one.red.net, one.black.net);
    read.set(key, [...(read.get(key) ?? []), one]);
  }
  const all = storedEnergy(board);
  const asked = all.filter((stored) => isWorthAsking(stored, limits));
  const known = new Set(asked.map(({ nets }) => netPairKey(...nets)));
  const others = [...read].flatMap(([key, [first]]) =>
    known.has(key) || first === undefined
      ? []
      : [{ nets: [first.red.net, first.black.net] as const, key }],
  );
  return [
    ...asked.map((stored) =>
      chargeOf(board, stored.nets, stored, read.get(netPairKey(...stored.nets)) ?? [], limits),
    ),
    ...others.map(({ nets, key }) => {
      const stored = all.find((one) => netPairKey(...one.nets) === key);
      return chargeOf(board, nets, stored, read.get(key) ?? [], limits);
    }),
  ];
}

/**
 * The charges that have to be measured before this cold reading: those that may lie above the lines of
 * refusal before any reading at all, others when a probe goes on them.
 * @param now ms since 1970; what is to be measured again counts from its time on
 */
export function unreadBefore(
  board: Board,
  charges: readonly Charge[],
  probe: Pick<Probe, 'red' | 'black' | 'offPart'>,
  now: number,
  limits: DischargeLimits = DEFAULT_DISCHARGE_LIMITS,
): Charge[] {
  if (probe.offPart !== undefined) return [];
  // Nearly every reading touches a ground; that alone goes on no capacitor.
  const grounds = new Set(board.rails.map(({ minus }) => minus));
  const touched = [probe.red.net, probe.black.net].filter((net) => !grounds.has(net));
  const isDue = ({ state, againAt = 0 }: Charge): boolean =>
    state === 'unread' || (state === 'again' && againAt <= now);
  const isNear = ({ nets }: Charge): boolean => touched.some((net) => nets.includes(net));
  return charges.filter((charge) => isDue(charge) && (isHazard(charge, limits) || isNear(charge)));
}

/** The charge that forbids any cold reading, if there is one. */
export function refusedCharge(charges: readonly Charge[]): Charge | undefined {
  return charges.find(({ state }) => state === 'refused');
}

/** Number of the last event that had power on the board; 0 when none did. */
export function lastPowered(job: DerivedJob): number {
  const lists = [job.powered, job.draws, job.powerStages, job.functions, job.soak];
  return Math.max(0, ...lists.map((list) => list.at(-1)?.event ?? 0));
}

function isWorthAsking(stored: StoredEnergy, limits: DischargeLimits): boolean {
  const { farads, volts, joules } = stored;
  return (
    joules >= limits.askJoules ||
    (volts > limits.refuseVolts && farads * volts > limits.askCoulombs)
  );
}

/** Whether what the capacitors are made for lies above the lines of refusal. */
function isHazard({ stored }: Charge, limits: DischargeLimits): boolean {
  if (stored === undefined) return false;
  return stored.volts > limits.refuseVolts || stored.joules >= limits.refuseJoules;
}

function chargeOf(
  board: Board,
  nets: readonly [number, number],
  stored: StoredEnergy | undefined,
  read: readonly Volts[],
  limits: DischargeLimits,
): Charge {
  const base = { nets, ...(stored === undefined ? {} : { stored }) };
  const last = read.at(-1);
  if (last === undefined) return { ...base, state: 'unread', joules: 0 };
  const size = Math.abs(last.volts);
  const joules = 0.5 * (stored?.farads ?? 0) * size * size;
  const here = { ...base, last, joules };
  if (size > limits.refuseVolts || joules >= limits.refuseJoules) {
    return { ...here, state: 'refused' };
  }
  if (size > limits.warnVolts) return { ...here, state: 'charged' };
  const againAt = recoversUntil(board, stored, read, limits);
  return againAt === undefined ? { ...here, state: 'empty' } : { ...here, state: 'again', againAt };
}

/**
 * When an electrolytic that was seen charged is to be measured again; undefined once two low
 * measurements lie far enough apart, and where no electrolytic was seen charged.
 */
function recoversUntil(
  board: Board,
  stored: StoredEnergy | undefined,
  read: readonly Volts[],
  limits: DischargeLimits,
): number | undefined {
  const absorbs = stored?.parts.some((part) => board.parts[part]?.kind.name === 'electrolytic');
  const high = read.findLastIndex(({ volts }) => Math.abs(volts) > limits.warnVolts);
  if (absorbs !== true || high < 0) return undefined;
  const first = Date.parse(read[high + 1]?.at ?? '');
  const last = Date.parse(read.at(-1)?.at ?? '');
  const until = first + limits.recoverMinutes * 60_000;
  return until > last ? until : undefined;
}
