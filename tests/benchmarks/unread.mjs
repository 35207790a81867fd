// npm run bench -- unread [SEEDS] [BOARDS]: what it costs to leave fewer faults unread. Each job is played once,
// by the tool, with next to nothing left unread; where it would have ended with more is noted on the way.
import { jobBoards } from './boards.mjs';
import { openBoard, playJob } from './play.mjs';
import { inColumns } from './tables.mjs';

/** Expected faults that may go unread, as the setting has it; most first. */
const LIMITS = [0.08, 0.04, 0.02, 0.01, 0.006, 0.004, 0.002, 0.001];
/** A fault has been spoken of once its chance fell below this share of what it was before any reading. */
const SPOKEN_RATIO = 0.3;

const [seedCount = '12', names] = process.argv.slice(2);
const seeds = Number(seedCount);
const wanted = names?.split(',');
const lines = jobBoards()
  .filter(({ name }) => wanted === undefined || wanted.includes(name))
  .flatMap(({ name, board }) => linesOf(name, board));
console.log(`unread: seeds 0 to ${seeds - 1}, faults 1 to 4`);
console.log(
  inColumns([
    ['board', 'unread', 'jobs', 'all found', 'minutes', 'of survey', 'not spoken of'],
    ...lines,
  ]),
);

function linesOf(name, board) {
  const workbench = openBoard(board, { steps: { proofRisk: LIMITS.at(-1) } });
  const rows = Array.from({ length: seeds }, (_, seed) => endsOf(workbench, seed));
  return LIMITS.map((limit, k) => {
    const mean = (of) => rows.reduce((sum, ends) => sum + of(ends[k]), 0) / rows.length;
    return [
      name,
      String(limit),
      String(seeds),
      `${(100 * mean(({ isFound }) => (isFound ? 1 : 0))).toFixed(1)} %`,
      mean(({ minutes }) => minutes).toFixed(1),
      mean(({ survey }) => survey).toFixed(1),
      `${(100 * mean(({ silent }) => silent)).toFixed(2)} %`,
    ];
  });
}

/** How the job would have ended at each of the limits. */
function endsOf(workbench, seed) {
  const ends = [];
  const so = { minutes: 0, survey: 0 };
  playJob(workbench, {
    seed,
    faults: 1 + (seed % 4),
    hasLoads: true,
    watch: (analysis, { step, phase, minutes }, bench) => {
      const isOver = step.kind === 'done' || (phase === 'survey' && isRailRead(analysis));
      while (isOver && ends.length < LIMITS.length) {
        const limit = LIMITS[ends.length];
        if (step.kind !== 'done' && analysis.survey.unread > limit) break;
        const { piece } = analysis.evidence.state;
        const isFound = [...bench.faultyParts].every((part) => (piece.get(part) ?? 0) > 0);
        ends.push({ ...so, isFound, silent: silentShare(analysis) });
      }
      so.minutes += minutes;
      if (phase === 'survey') so.survey += minutes;
    },
  });
  return ends;
}

/** Whether the readings that come before anything else have been taken: survey readings now are to spare. */
function isRailRead({ proof }) {
  return proof.every(({ holds }) => holds);
}

/** Of the chances of what drills hide, the share that no reading has spoken of. */
function silentShare({ beliefs: { problem, chance }, evidence }) {
  const { universe, meter, circuit } = problem;
  const loud = meter.beepOhms / 4;
  let all = 0;
  let silent = 0;
  for (const { id, what, members, branches, opensPart } of universe.faults) {
    if (what !== 'part') continue;
    const isShort = branches.length > 0 && branches.every(({ ohms }) => ohms < loud);
    const healthy = circuit.models[members[0]?.part]?.healthy ?? [];
    if (!isShort && !(opensPart && healthy.some(({ ohms }) => ohms < loud))) continue;
    const { piece } = evidence.state;
    const old = members.filter(({ part }) => (piece.get(part) ?? 0) === 0);
    const sum = (some) => some.reduce((total, member) => total + member.chance[0], 0);
    all += sum(members);
    if (old.length > 0 && chance[id] > SPOKEN_RATIO * sum(old)) silent += sum(old);
  }
  return all > 0 ? silent / all : 0;
}
