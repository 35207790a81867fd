// npm run bench -- optimum [CASES] [ROWS] [UNREAD]: the tool's expected bench minutes on small shorted boards, against
// the best possible, found by going through all ways to read, lift and renew; and against the best possible
// for a shop that fits no new part before a reading has shown the short gone with the old one out, or the part is
// surer than UNREAD (shop settings: fit-unread-from). `-` keeps no rows.
import { appendFileSync, writeFileSync } from 'node:fs';
import {
  netPairKey,
  withLifted,
  withOff,
  withRefitted,
  withReplaced,
} from '../../dist/circuit/state.js';
import { advise, analyse, healthyBoard } from '../../dist/steps/advise.js';
import { DEFAULT_STEP_SETTINGS } from '../../dist/steps/settings.js';
import { dice } from './dice.mjs';
import {
  legOhms,
  openCase,
  smallBoard,
  trueOhms,
  trueValue,
  withReading,
} from './optimum-case.mjs';

const [count = '300', kept = '-', unread = DEFAULT_STEP_SETTINGS.fitUnreadWeight] =
  process.argv.slice(2);
const cases = Number(count);
const file = kept === '-' ? undefined : kept;
const fitUnreadWeight = Number(unread);
const MOST_STATES = 200_000;
const MOST_STEPS = 80;

/** Parts still failed under a state. */
function leftOf(failed, state) {
  return failed.filter(({ part }) => (state.piece.get(part) ?? 0) === 0);
}

/** The rail and every renewed part read once more; what the tool asks for as well. */
function proofMinutes({ board, workbench, rail }, state) {
  const healthy = healthyBoard(workbench);
  const pairs = new Map([[netPairKey(rail.red.net, rail.black.net), rail.mode]]);
  for (const part of state.piece.keys()) {
    const [a, b] = board.parts[part].pins.map((pin) => board.pins[pin].net);
    const key = netPairKey(a, b);
    if (!pairs.has(key)) pairs.set(key, healthy.modeFor(a, b));
  }
  return [...pairs.values()].reduce((sum, mode) => sum + workbench.clock.read({ mode }), 0);
}

/**
 * Least expected minutes from here on, over the sets of faults that are still possible. A reading of
 * the rail right after a part is renewed costs nothing extra where it is clear: the proof asks for it.
 */
class Optimum {
  /** @param fitsFrom weight of the sets a part failed in from which a new one may be fitted */
  constructor(one, fitsFrom = 0) {
    this.one = one;
    this.fitsFrom = fitsFrom;
    this.known = new Map();
    const { board, sets, workbench } = one;
    this.nets = board.nets.map(({ index }) => index);
    this.clock = workbench.clock;
    this.sets = sets;
    this.values = new Map();
  }

  /** @param mask of sets still possible */
  least(mask, state) {
    const key = `${mask} ${stateName(state)}`;
    let minutes = this.known.get(key);
    if (minutes === undefined) {
      if (this.known.size > MOST_STATES) throw new RangeError('too many states');
      this.known.set(key, Number.POSITIVE_INFINITY);
      minutes = this.#work(mask, state);
      this.known.set(key, minutes);
    }
    return minutes;
  }

  #work(mask, state) {
    const within = this.sets.filter((_, k) => (mask >> k) & 1);
    const isDone = within.every(({ failed }) => leftOf(failed, state).length === 0);
    if (isDone) return this.#putBack(state) + proofMinutes(this.one, state);
    let best = Number.POSITIVE_INFINITY;
    const offer = (minutes) => {
      best = Math.min(best, minutes);
    };
    for (const a of this.nets) {
      for (const b of this.nets) {
        if (a >= b) continue;
        const groups = this.#split(mask, state, a, b);
        if (groups.length > 1) offer(this.#beep + this.#expected(mask, groups, state));
      }
    }
    for (const part of state.off) {
      if ((state.piece.get(part) ?? 0) > 0) continue;
      const own = this.clock.read({ mode: 'ohms', offPart: part });
      const groups = this.#splitBy(mask, (k) =>
        legName(legOhms(this.one, this.sets[k].failed, part)),
      );
      if (groups.length > 1) offer(own + this.#expected(mask, groups, state));
    }
    for (const part of this.one.parts) {
      const isIn = (state.piece.get(part) ?? 0) === 0;
      if (!isIn) continue;
      const isLoose = this.#isLoose(part, state);
      if (!isLoose && within.length > 1) {
        for (const { next, minutes } of this.#waysOut(part, state)) {
          offer(minutes + this.least(mask, next));
        }
      }
      const share = this.#shareFailed(mask, part);
      if (share > 0 && share >= this.fitsFrom) offer(this.#renew(mask, part, state));
    }
    return best;
  }

  #isLoose(part, state) {
    return (
      state.off.has(part) || this.one.board.parts[part].pins.some((pin) => state.lifted.has(pin))
    );
  }

  /** Weight of the sets still possible in which a part failed. */
  #shareFailed(mask, part) {
    const groups = this.#splitBy(mask, (k) =>
      this.sets[k].failed.some((fault) => fault.part === part),
    );
    const failed = groups.find(({ name }) => name);
    return failed === undefined ? 0 : this.#weight(failed.mask) / this.#weight(mask);
  }

  /** Off the board, and a leg raised where that will do. */
  #waysOut(part, state) {
    const own = this.one.board.parts[part];
    const off = { next: withOff(state, [part]), minutes: this.clock.remove([part], state) };
    if (!this.clock.canLiftLeg(own)) return [off];
    const raised = withLifted(state, [own.pins[1]]);
    return [off, { next: raised, minutes: this.clock.liftLeg(own) }];
  }

  #renew(mask, part, state) {
    const next = withReplaced(state, part, this.one.board.parts[part].pins);
    const minutes = this.clock.replace([part], state);
    const { red, black } = this.one.rail;
    const groups = this.#split(mask, next, red.net, black.net);
    const read = groups.map(({ mask: own, name }) => {
      const paid = name === 'quiet' ? 0 : this.#beep;
      return (this.#weight(own) / this.#weight(mask)) * (paid + this.least(own, next));
    });
    return (
      minutes +
      Math.min(
        read.reduce((a, b) => a + b, 0),
        this.least(mask, next),
      )
    );
  }

  #putBack(state) {
    return this.one.parts
      .filter((part) => this.#isLoose(part, state))
      .reduce((sum, part) => sum + this.clock.fit([part], state), 0);
  }

  #expected(mask, groups, state) {
    let sum = 0;
    for (const { mask: own } of groups) sum += this.#weight(own) * this.least(own, state);
    return sum / this.#weight(mask);
  }

  #weight(mask) {
    return this.sets.reduce((sum, { weight }, k) => sum + ((mask >> k) & 1 ? weight : 0), 0);
  }

  /** Sets by what a reading would show. */
  #split(mask, state, a, b) {
    return this.#splitBy(mask, (k) => this.#shown(k, state, a, b));
  }

  #splitBy(mask, nameOf) {
    const groups = new Map();
    this.sets.forEach((_, k) => {
      if (((mask >> k) & 1) === 0) return;
      const name = nameOf(k);
      groups.set(name, (groups.get(name) ?? 0) | (1 << k));
    });
    return [...groups].map(([name, own]) => ({ name, mask: own }));
  }

  #shown(k, state, a, b) {
    const key = `${k} ${stateName(state)} ${a} ${b}`;
    let shown = this.values.get(key);
    if (shown === undefined) {
      const ohms = trueOhms(this.one, this.sets[k].failed, state, a, b);
      shown = ohms < this.one.workbench.bench.meter.beepOhms ? 'beep' : 'quiet';
      this.values.set(key, shown);
    }
    return shown;
  }

  get #beep() {
    return this.clock.read({ mode: 'continuity' });
  }
}

/** What a part's own legs tell: shorted, or not. */
function legName(ohms) {
  return ohms < 100 ? 'joined' : 'apart';
}

const NAMES = new WeakMap();

function stateName(state) {
  let name = NAMES.get(state);
  if (name === undefined) {
    const { lifted, off, piece } = state;
    const sorted = (some) => [...some].sort((x, y) => x - y).join(',');
    name = `${sorted(lifted)}|${sorted(off)}|${sorted(piece.keys())}`;
    NAMES.set(state, name);
  }
  return name;
}

/** Minutes the tool takes when `failed` is the truth, until the rail and the new parts are proven. */
function played(one, failed) {
  const { board, workbench } = one;
  let evidence = one.start;
  let minutes = 0;
  for (let n = 0; n < MOST_STEPS; n++) {
    const { step, phase, minutes: own } = advise(analyse(workbench, evidence));
    const isOver = step.kind === 'done' || phase === 'survey';
    if (isOver && leftOf(failed, evidence.state).length === 0) return minutes;
    if (step.kind === 'done') return Number.POSITIVE_INFINITY;
    // A probe that stays where it is saves the tool minutes that the best possible is not given either.
    const full = step.kind === 'read' ? workbench.clock.read(step.probe) : own;
    if (phase !== 'survey') minutes += full;
    evidence = taken(board, evidence, step, (probe, state) => trueValue(one, failed, state, probe));
  }
  return Number.POSITIVE_INFINITY;
}

function taken(board, evidence, step, shows) {
  const { state, lastChange, readings } = evidence;
  const id = Math.max(lastChange, readings.at(-1)?.id ?? 0) + 1;
  const changed = (next) => ({ ...evidence, state: next, lastChange: id });
  const read = (after, probe) =>
    probe === undefined ? after : withReading(after, probe, shows(probe, after.state));
  const each = (parts, how) =>
    parts.reduce((now, part) => how(now, part, board.parts[part].pins), state);
  switch (step.kind) {
    case 'read':
      return read(evidence, step.probe);
    case 'lift':
      return read(changed(withLifted(state, step.pins)), step.then);
    case 'remove':
      return read(changed(withOff(state, step.parts)), step.then);
    case 'refit':
      return changed(each(step.parts, withRefitted));
    case 'replace': {
      const replacedAt = new Map(evidence.replacedAt);
      for (const part of step.parts) replacedAt.set(part, id);
      return { ...changed(each(step.parts, withReplaced)), replacedAt };
    }
    default:
      throw new Error(`no way to do ${step.kind}`);
  }
}

function compare(one) {
  const all = 2 ** one.sets.length - 1;
  const best = new Optimum(one).least(all, one.start.state);
  const ruled = new Optimum(one, fitUnreadWeight).least(all, one.start.state);
  const own = one.sets.reduce((sum, { weight, failed }) => sum + weight * played(one, failed), 0);
  return { sets: one.sets.length, best, ruled, own, ratio: own / best, ruledRatio: own / ruled };
}

if (file !== undefined) writeFileSync(file, '');
const rows = [];
for (let seed = 1; rows.length < cases && seed < 50 * cases; seed++) {
  const one = openCase(smallBoard(dice(seed)), fitUnreadWeight);
  if (one === undefined) continue;
  try {
    const row = { seed, ...compare(one) };
    rows.push(row);
    if (file !== undefined) appendFileSync(file, `${JSON.stringify(row)}\n`);
  } catch (error) {
    if (!(error instanceof RangeError)) throw error;
  }
}
const mean = (of) => rows.reduce((sum, row) => sum + of(row), 0) / rows.length;
const total = (of) => rows.reduce((sum, row) => sum + of(row), 0);
console.log(
  `optimum: ${rows.length} cases of 2 to ${Math.max(...rows.map((r) => r.sets))} fault sets`,
);
console.log(toldRatios('minutes of the tool over the best possible', 'ratio', 'best'));
console.log(
  toldRatios('over the best that first reads without the old part', 'ruledRatio', 'ruled'),
);
console.log(`best over best of the two: mean ${mean((r) => r.ruled / r.best).toFixed(3)}`);

function toldRatios(what, ratio, best) {
  const sorted = rows.toSorted((x, y) => y[ratio] - x[ratio]);
  const told = (some) =>
    some.map((row) => `${row[ratio].toFixed(3)} (case ${row.seed})`).join(', ');
  const sums = total((r) => r.own) / total((r) => r[best]);
  return [
    `${what}: mean ${mean((r) => r[ratio]).toFixed(3)}, of sums ${sums.toFixed(3)}`,
    `  worst ${told(sorted.slice(0, 5))}`,
    `  best ${told(sorted.slice(-3))}`,
  ].join('\n');
}
