/**
 * Joints that will fail next: the parts whose joints are worth a look, the most stressed first, and
 * what was found at each. Looks and reflows of the record tell what was done.
 */
import type { Board } from '../board/model.ts';
import type { LookFinding } from '../faults/evidence.ts';
import type { DerivedJob } from './derive.ts';
import { type Stress, stressOf } from './joint-stress.ts';

/** `cracked`: found so, or off its pad, and not mended yet. */
export type JointState = 'to look at' | 'sound' | 'cracked' | 'reflowed';

export interface Joint {
  readonly pin: number;
  readonly state: JointState;
  /** The event that last told. */
  readonly event?: number;
  /** The event in which it was found cracked or off its pad, reflowed since or not. */
  readonly foundIn?: number;
}

export interface JointRow {
  readonly part: number;
  readonly causes: readonly Stress[];
  readonly points: number;
  readonly joints: readonly Joint[];
}

export interface TouchUp {
  /** Most stressed first; of equals in file order. */
  readonly rows: readonly JointRow[];
  /** Parts with some cause that are not worth the time beside these. */
  readonly leftOff: number;
  /** Joints of the rows: all, and those that nobody has looked at or reflowed. */
  readonly joints: number;
  readonly open: number;
  /** Joints anywhere that were found cracked and are not mended. */
  readonly cracked: readonly number[];
}

/** From so many points a part is worth a look, and more rows than this are no short list. */
const LEAST_POINTS = 4;
const MOST_PARTS = 40;
/** A part with something found at it is listed, however many others are. */
const FOUND_POINTS = 20;

const FINDING_POINTS: Partial<Record<LookFinding, readonly [number, string]>> = {
  burnt: [6, 'found burnt'],
  leaking: [6, 'leaks on its joints'],
  reworked: [6, 'reworked before'],
  dirty: [2, 'dirty'],
};
const FITTED_POINTS = 5;

/** The joints worth a look in this job. */
export function touchUp(board: Board, job: DerivedJob): TouchUp {
  const said = saidOfJoints(job);
  const rows = board.parts.flatMap((part): JointRow[] => {
    if (job.evidence.state.off.has(part.index)) return [];
    const found = foundCauses(board, job, said, part.index);
    const stress = stressOf(board, part);
    if (found.length + stress.length === 0) return [];
    const causes = [...found, ...stress];
    const points = causes.reduce((sum, each) => sum + each.points, 0);
    if (points <= 0) return [];
    const joints = part.pins.map((pin) => jointOf(board, said, pin));
    return [{ part: part.index, causes, points, joints }];
  });
  const worth = rows
    .filter(({ points }) => points >= LEAST_POINTS)
    .sort((a, b) => b.points - a.points || a.part - b.part);
  const listed = worth.filter(({ points }, k) => k < MOST_PARTS || points >= FOUND_POINTS);
  const joints = listed.flatMap((row) => row.joints);
  return {
    rows: listed,
    leftOff: rows.length - listed.length,
    joints: joints.length,
    open: joints.filter(({ state }) => state === 'to look at').length,
    cracked: rows.flatMap((row) =>
      row.joints.filter(({ state }) => state === 'cracked').map(({ pin }) => pin),
    ),
  };
}

/** One thing said of a joint, or of all joints of a part. */
interface Said {
  readonly event: number;
  readonly finding: LookFinding | 'reflowed' | 'fitted';
}

interface SaidOfJoints {
  readonly ofPart: ReadonlyMap<number, readonly Said[]>;
  readonly ofPin: ReadonlyMap<number, readonly Said[]>;
}

function saidOfJoints(job: DerivedJob): SaidOfJoints {
  const ofPart = new Map<number, Said[]>();
  const ofPin = new Map<number, Said[]>();
  const note = (map: Map<number, Said[]>, key: number | undefined, said: Said): void => {
    if (key === undefined) return;
    const held = map.get(key);
    if (held === undefined) map.set(key, [said]);
    else held.push(said);
  };
  for (const { event, say } of job.active) {
    const { n } = event;
    if (say.do === 'look') {
      const said = { event: n, finding: say.finding };
      if (say.pin !== undefined) note(ofPin, say.pin, said);
      else note(ofPart, say.part, said);
    } else if (say.do === 'reflow') {
      for (const pin of say.pins) note(ofPin, pin, { event: n, finding: 'reflowed' });
    } else if (say.do === 'replace' || say.do === 'refit') {
      for (const part of say.parts) note(ofPart, part, { event: n, finding: 'fitted' });
    }
  }
  return { ofPart, ofPin };
}

/** What was last said of a joint; what was said before the part was fitted anew no longer holds. */
function jointOf(board: Board, { ofPart, ofPin }: SaidOfJoints, pin: number): Joint {
  const part = board.pins[pin]?.part ?? -1;
  if (!ofPart.has(part) && !ofPin.has(pin)) return { pin, state: 'to look at' };
  const whole = ofPart.get(part) ?? [];
  const fitted = whole.findLast(({ finding }) => finding === 'fitted')?.event ?? 0;
  const own = [
    ...(ofPin.get(pin) ?? []),
    ...whole.filter(({ finding }) => finding === 'looks sound'),
  ]
    .filter(({ event, finding }) => event > fitted && stateFrom(finding) !== undefined)
    .sort((a, b) => a.event - b.event);
  const last = own.at(-1);
  const found = own.findLast(({ finding }) => stateFrom(finding) === 'cracked');
  const state = last === undefined ? 'to look at' : (stateFrom(last.finding) ?? 'to look at');
  return {
    pin,
    state,
    ...(last === undefined ? {} : { event: last.event }),
    ...(found === undefined ? {} : { foundIn: found.event }),
  };
}

function stateFrom(finding: Said['finding']): JointState | undefined {
  if (finding === 'cracked' || finding === 'off its pad') return 'cracked';
  if (finding === 'looks sound') return 'sound';
  return finding === 'reflowed' ? 'reflowed' : undefined;
}

const NO_CAUSES: readonly Stress[] = [];

function foundCauses(
  board: Board,
  job: DerivedJob,
  { ofPart, ofPin }: SaidOfJoints,
  part: number,
): readonly Stress[] {
  if (ofPart.size + ofPin.size === 0) return NO_CAUSES;
  const whole = ofPart.get(part) ?? [];
  const pins = board.parts[part]?.pins ?? [];
  const atPins = pins.flatMap((pin) => ofPin.get(pin) ?? []);
  if (whole.length + atPins.length === 0) return [];
  const fitted = whole.findLast(({ finding }) => finding === 'fitted');
  const since = fitted?.event ?? 0;
  const fresh = [...whole, ...atPins].filter(({ event }) => event > since);
  const causes: Stress[] = [];
  if (atPins.some(({ event, finding }) => event > since && stateFrom(finding) === 'cracked')) {
    causes.push({ cause: 'found cracked', points: FOUND_POINTS });
  }
  for (const [finding, [points, cause]] of Object.entries(FINDING_POINTS)) {
    if (fresh.some((said) => said.finding === finding)) causes.push({ cause, points });
  }
  if (fitted !== undefined) {
    const isNew = job.replaced.some((each) => each.part === part);
    const cause = isNew ? 'fitted in this job' : 'put back in this job';
    causes.push({ cause, points: FITTED_POINTS });
  }
  return causes;
}
