// Boards with planted faults, read in many places, of which some readings are turned round; and what
// the world with just those faults weighs, which no search worth its work comes below.

/** Of the readings this share is in ohms, the others by the beeper. */
const OHMS_SHARE = 0.05;
/** After so many readings one more of the parts that may conduct is taken off. */
const READINGS_PER_LIFT = 20;

/**
 * @param bench answers as the board with its faults does
 * @param next dice
 * @param wrong how many of the readings are turned round
 * @returns readings across parts, the faults' own parts among them, and the ids of those turned round
 */
export function drawReadings(
  board,
  { bench, next, count, wrong, start, withOff, ohmsShare = OHMS_SHARE },
) {
  const turned = new Set();
  while (turned.size < wrong) turned.add(1 + Math.floor(count * next()));
  const readings = [];
  let state = start;
  let conducting = board.parts;
  for (let id = 1; id <= count; id++) {
    const [red, black] = pairAcross(board, next);
    const mode = next() < ohmsShare ? 'ohms' : 'continuity';
    const probe = { mode, red: { net: red }, black: { net: black } };
    const told = bench.answer(probe, state);
    const value = turned.has(id) ? turnedRound(told) : told;
    readings.push({ ...probe, value, id, state });
    if (value.kind === 'beep') conducting = board.parts.filter((part) => joins(board, part, probe));
    const off = conducting[Math.floor(conducting.length * next())];
    if (id % READINGS_PER_LIFT === 0 && off !== undefined) state = withOff(state, [off.index]);
  }
  return { readings, state, turned: [...turned].sort((x, y) => x - y) };
}

/** Two nets that some part joins or could join. */
function pairAcross(board, next) {
  for (;;) {
    const { pins } = board.parts[Math.floor(board.parts.length * next())];
    const [a, b] = [0, 0].map(() => board.pins[pins[Math.floor(pins.length * next())]].net);
    if (a !== b) return [a, b];
  }
}

function joins(board, { pins }, { red, black }) {
  const nets = pins.map((pin) => board.pins[pin].net);
  return nets.includes(red.net) && nets.includes(black.net);
}

function turnedRound({ kind }) {
  if (kind === 'beep') return { kind: 'quiet' };
  if (kind === 'quiet') return { kind: 'beep' };
  return kind === 'over' ? { kind: 'ohms', ohms: 0.3 } : { kind: 'over' };
}

/**
 * The world in which just the planted faults are there: its mass, and the ids of its faults; undefined where
 * one of them is none of the problem's.
 * @param tools of the engine that made the problem: `Chances`, `foresee`
 */
export function truthOf(problem, planted, { Chances, foresee }) {
  const { universe, outcomes, workspace } = problem;
  const choices = planted.map(({ part, mode, piece }) =>
    universe.lists.ofPart(part).filter((id) => {
      const fault = universe.faults[id];
      return fault.what === 'part' && fault.mode === mode && fault.piece === piece;
    }),
  );
  const worlds = choices.reduce(
    (sets, ids) => sets.flatMap((set) => ids.map((id) => [...new Set([...set, id])])),
    [[]],
  );
  const chances = new Chances(universe, workspace);
  const all = worlds.map((ids) => {
    chances.load(ids.reduce((before, fault) => ({ before, fault, present: true }), undefined));
    const others = universe.faults.flatMap(({ id, members }) =>
      members.length > 0 && !ids.includes(id) ? [id] : [],
    );
    let mass = chances.ofDecisions() * chances.ofNone(others);
    const name = ids.reduce((so, id) => outcomes.name(so, universe.faults[id]), '');
    for (const fit of foresee(problem, ids, name).fits) mass *= fit;
    return { ids, mass };
  });
  chances.release();
  return all.sort((x, y) => y.mass - x.mass)[0];
}

/** True when the world in which just these faults are there is one of those of an explanation. */
export function takesIn({ faults, decisions }, ids) {
  if (!faults.every((id) => ids.includes(id))) return false;
  for (let at = decisions; at !== undefined; at = at.before) {
    if (!at.present && ids.includes(at.fault)) return false;
  }
  return true;
}
