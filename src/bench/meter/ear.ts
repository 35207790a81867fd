import type { MeterMode, ReadingValue } from '../../circuit/reading.ts';
import type { FeedEvent } from './feed.ts';
import { isTipToTip, judge } from './judge.ts';

/** What one reading is listened for with. Times in ms. */
export interface EarSettings {
  readonly mode: MeterMode;
  /** The beeper sounds below this, Ω. */
  readonly beepOhms: number;
  /** Both leads and contacts together, Ω. */
  readonly leadOhms: number;
  /** From this figure on, Ω or V, the probes count as open; default: overloads alone do. */
  readonly openFrom?: number;
  /** How long capacitors want the probes held before a value counts. */
  readonly holdMs: number;
  /** All times below are taken so many times as long; default 1. */
  readonly pace?: number;
}

/** How long a value must stand. */
const STEADY_MS = 500;
/** Fewer samples say nothing of steadiness, however slow the meter. */
const LEAST_SAMPLES = 3;
/** The probes have left the last points when they were open this long. */
const RELEASE_MS = 150;
const RELEASE_SAMPLES = 2;
/** The tips touched each other for no longer than this, or for this few samples: a tap. */
const TAP_MOST_MS = 600;
const TAP_MOST_SAMPLES = 2;
/** The second tap follows within this. */
const TAP_GAP_MS = 1500;
const TAPS = 2;
/** After the taps the probes stay open this long; who slipped off the points is back on them before. */
const OPEN_MS = 1500;

interface Heard {
  readonly at: number;
  readonly number: number;
}

/**
 * What was heard so far for one reading. It begins with the probes leaving the last points, and ends
 * with a value. Open probes and points that read open sound alike: what reads open is told by two
 * taps of the tips on each other.
 */
export interface Ear {
  readonly phase: 'leaving' | 'open' | 'touching' | 'taken';
  /** The contact so far, its first sample and then the latest. */
  readonly contact: readonly Heard[];
  /** True when the start of the contact went unheard. */
  readonly isCut: boolean;
  /** The probes are open: first and latest sample that said so, and how many did. */
  readonly open?: { readonly since: number; readonly last: number; readonly count: number };
  readonly taps: number;
  readonly tapEnd?: number;
  /** Set in phase `taken`. */
  readonly value?: ReadingValue;
  /** The figure behind the value, Ω or V; Infinity when open. */
  readonly shown?: number;
}

/** Nothing heard yet: the probes may still be on the last points. */
export const FRESH_EAR: Ear = { phase: 'leaving', contact: [], isCut: false, taps: 0 };

/** The ear after one more event of the feed; samples of another mode are passed over. */
export function hear(ear: Ear, event: FeedEvent, settings: EarSettings): Ear {
  if (ear.phase === 'taken' || event.kind === 'status') return ear;
  if (event.kind === 'gap') return afterGap(ear);
  if (event.kind === 'vouch') return afterVouch(ear, settings);
  if (event.mode !== settings.mode) return ear;
  const { sample, at } = event;
  if (sample.kind === 'over' || sample.number >= (settings.openFrom ?? Number.POSITIVE_INFINITY)) {
    return afterOpen(ear, at, settings);
  }
  return afterFigure(ear, { at, number: sample.number }, settings);
}

/** How long the present contact has lasted, ms. */
export function contactMs({ contact }: Ear): number {
  return (contact.at(-1)?.at ?? 0) - (contact[0]?.at ?? 0);
}

/** Whoever was on the points may still be; steadiness begins anew. */
function afterGap(ear: Ear): Ear {
  const phase = ear.phase === 'leaving' ? 'leaving' : 'open';
  return { ...FRESH_EAR, phase, isCut: ear.phase === 'touching' };
}

function afterFigure(ear: Ear, heard: Heard, settings: EarSettings): Ear {
  if (ear.phase === 'leaving') return FRESH_EAR;
  const { open: _open, ...rest } = ear;
  const [first, ...others] = [...ear.contact, heard];
  const since = heard.at - paced(STEADY_MS, settings);
  // The first sample dates the contact; of the others only the latest are needed.
  const old = others.length - LEAST_SAMPLES;
  const kept = others.filter(({ at }, index) => at >= since || index >= old);
  const contact = first === undefined ? kept : [first, ...kept];
  return { ...rest, phase: 'touching', contact };
}

function afterOpen(ear: Ear, at: number, settings: EarSettings): Ear {
  const open = { since: ear.open?.since ?? at, last: at, count: (ear.open?.count ?? 0) + 1 };
  if (ear.phase === 'leaving') {
    const hasLeft = open.count >= RELEASE_SAMPLES && at - open.since >= paced(RELEASE_MS, settings);
    return { ...ear, phase: hasLeft ? 'open' : 'leaving', open };
  }
  if (ear.phase === 'open') return { ...ear, isCut: false, open };
  const ended: Ear = { ...FRESH_EAR, phase: 'open', open };
  if (!isTap(ear, settings)) return ended;
  const start = ear.contact[0]?.at ?? at;
  const follows = ear.tapEnd !== undefined && start - ear.tapEnd <= paced(TAP_GAP_MS, settings);
  return { ...ended, taps: follows ? ear.taps + 1 : 1, tapEnd: at };
}

function isTap(ear: Ear, settings: EarSettings): boolean {
  const { mode, leadOhms } = settings;
  return (
    !ear.isCut &&
    (contactMs(ear) <= paced(TAP_MOST_MS, settings) || ear.contact.length <= TAP_MOST_SAMPLES) &&
    ear.contact.every(({ number }) => isTipToTip(mode, number, leadOhms))
  );
}

function afterVouch(ear: Ear, settings: EarSettings): Ear {
  if (ear.phase === 'open') return openTaken(ear, settings);
  if (ear.phase !== 'touching') return ear;
  const steady = steadyValue(ear, settings);
  if (steady === undefined) return ear;
  const held = contactMs(ear);
  // What charges reads too low: quiet it is at once, whatever it climbs to.
  if (steady.value.kind !== 'quiet' && held < settings.holdMs) return ear;
  return { ...ear, phase: 'taken', ...steady };
}

function openTaken(ear: Ear, settings: EarSettings): Ear {
  const { taps, open } = ear;
  if (taps < TAPS || open === undefined) return ear;
  if (open.count < LEAST_SAMPLES || open.last - open.since < paced(OPEN_MS, settings)) return ear;
  const value: ReadingValue = settings.mode === 'continuity' ? { kind: 'quiet' } : { kind: 'over' };
  return { ...ear, phase: 'taken', value, shown: Number.POSITIVE_INFINITY };
}

function steadyValue(
  ear: Ear,
  settings: EarSettings,
): { readonly value: ReadingValue; readonly shown: number } | undefined {
  const steadyMs = paced(STEADY_MS, settings);
  const last = ear.contact.at(-1);
  if (last === undefined || contactMs(ear) < steadyMs || ear.contact.length < LEAST_SAMPLES) {
    return undefined;
  }
  const old = ear.contact.length - LEAST_SAMPLES;
  const window = ear.contact.filter(({ at }, index) => at >= last.at - steadyMs || index >= old);
  const value = judge(
    settings.mode,
    window.map(({ number }) => number),
    settings.beepOhms,
  );
  return value === undefined ? undefined : { value, shown: last.number };
}

function paced(ms: number, { pace = 1 }: EarSettings): number {
  return ms * pace;
}
