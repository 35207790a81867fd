#!/usr/bin/env node
// One job from code, from the board file to the sheet: what the commands `board`, `start`, `next`, `log`,
// `why`, `repair`, `recheck`, `power` and `sheet` do, with a simulated board in place of a bench.
//
//   node examples/library-job.mjs [BOARD [SEED]]
import { mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import {
  admit,
  advise,
  analyse,
  append,
  cautionLines,
  checkStage,
  closeJob,
  createJob,
  deriveJob,
  explainPart,
  extendJob,
  jobFacts,
  jobKeeper,
  loadBoard,
  NO_COLOUR,
  openJob,
  openWorkbench,
  powerPlan,
  printSay,
  repairLines,
  repairList,
  SimulatedBench,
  sheetDocument,
  sheetLines,
  stagePlan,
  taskLines,
  viewCautions,
  viewPart,
  viewRepair,
  viewSheet,
  viewStanding,
} from 'trace-short';

const flyback = fileURLToPath(new URL('../boards/bench-flyback.yaml', import.meta.url));
const [file = flyback, seed = '2'] = process.argv.slice(2);
const style = { width: 80, palette: NO_COLOUR };
const folder = mkdtempSync(join(tmpdir(), 'library-job-'));

// The board, what to mind about it, and a bench that reads it.
const { board } = loadBoard(readFileSync(file, 'utf8'), file);
console.log(cautionLines(viewCautions(board), style).slice(0, 2).join('\n'));
const workbench = openWorkbench(board);
const bench = new SimulatedBench(board, { seed: Number(seed), faults: 1 });

// A record on disk: what `append` returned from is there, whatever happens next.
const path = join(folder, 'job.yaml');
const handle = createJob(path, board, { purpose: 'repair' });
let job = deriveJob(board, []);

/** Records one line: read against the board and the job, checked against the rules, then written. */
function log(line) {
  const say = admit(board, job, line);
  checkStage(jobKeeper({ workbench, job, purpose: 'repair' }), say, line);
  const event = append(handle, printSay(board, say));
  job = extendJob(board, job, event);
  console.log(`  ${event.n}  ${event.say}`);
}

/** What comes next, of any stage. */
function whatNext() {
  const analysis = analyse(workbench, job.evidence);
  const advice = advise(analysis);
  const facts = jobFacts({ workbench, job, purpose: 'repair' }, advice, Date.now());
  return { analysis, advice, standing: viewStanding(facts, stagePlan(facts)) };
}

/** The lines that a step of the readings ends in. */
function answerOf({ step }) {
  const { state } = job.evidence;
  switch (step.kind) {
    case 'read':
      return [{ do: 'read', reading: { ...step.probe, value: bench.answer(step.probe, state) } }];
    case 'look':
      return [{ do: 'look', part: step.part, finding: bench.look(step.part, state) }];
    case 'lift':
      return [{ do: 'lift', part: step.part, pins: step.pins }];
    case 'remove':
    case 'refit':
    case 'replace':
      return [{ do: step.kind, parts: step.parts }];
    default:
      return [];
  }
}

try {
  log('customer dead after a storm');
  log('arrived with its fuse blown');
  for (let turn = 0; turn < 200; turn += 1) {
    const { analysis, advice, standing } = whatNext();
    const { task } = standing;
    if (task?.kind === 'power') {
      console.log(taskLines(task, style, 'job.yaml').slice(0, 1).join('\n'));
      break;
    }
    const says =
      task === undefined
        ? answerOf(advice).map((say) => printSay(board, say))
        : (task.answers[0]?.say ?? []);
    if (says.length === 0) break;
    if (advice.step.kind === 'replace' && task === undefined) {
      const [part] = advice.step.parts;
      const told = viewPart(board, job.evidence, explainPart(analysis, part));
      console.log(
        `${told.part} is accused by ${told.accusedBy.map(({ text }) => text).join('; ')}`,
      );
      const list = viewRepair(board, repairList(analysis, job, 'repair'));
      console.log(repairLines(list, style).slice(0, 4).join('\n'));
    }
    for (const say of says) log(say);
  }
  console.log(`${powerPlan(workbench.bench.circuit).stages.length} stages of first power`);
  const sheet = sheetDocument(viewSheet(workbench, openJob(path), job));
  console.log(sheetLines(sheet, style).slice(0, 12).join('\n'));
} finally {
  closeJob(handle);
  rmSync(folder, { recursive: true });
}
