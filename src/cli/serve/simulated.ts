/** What the simulated board of a drill answers. */
import type { SimulatedBench } from '../../bench/simulated-bench.ts';
import type { Probe } from '../../circuit/reading.ts';
import { parseSayUnder } from '../../job/notation.ts';
import { printReading } from '../../job/print-say.ts';
import { benchPlayer } from '../drill/bench-player.ts';
import { standingOf } from '../standing.ts';
import { CODE, type JsonObject, RpcError } from './rpc.ts';
import type { ServedJob } from './served-job.ts';

/** The lines that record a reading of it or, with no points named, all that the next step asks. */
export async function measured(job: ServedJob, params: JsonObject): Promise<readonly string[]> {
  const { drill } = job;
  if (drill === undefined) {
    const message = `job ${job.number} is no drill: its board lies on the bench, and a person measures it`;
    throw new RpcError(CODE.refused, message);
  }
  return params.points === undefined ? await nextDone(job, drill) : [reading(job, drill, params)];
}

async function nextDone(job: ServedJob, drill: SimulatedBench): Promise<readonly string[]> {
  const { board, derived } = job.work;
  const player = benchPlayer(board, drill);
  const study = await job.study();
  const { task } = standingOf(job.work, study);
  if (task === undefined) return player.act(study.advice().raw.step, derived.evidence.state);
  const [choice] = player.taskKeys(task);
  return choice?.action.do === 'record' ? choice.action.lines : [];
}

function reading({ work }: ServedJob, drill: SimulatedBench, params: JsonObject): string {
  const { board, derived } = work;
  const probe = probeOf(work, params);
  try {
    return printReading(board, { ...probe, value: drill.answer(probe, derived.evidence.state) });
  } catch (error) {
    if (error instanceof RangeError) throw new RpcError(CODE.refused, error.message);
    throw error;
  }
}

/** Read as the notation reads it, with a value that does not matter. */
function probeOf({ board, derived }: ServedJob['work'], params: JsonObject): Probe {
  const { points, mode = 'continuity', off } = params;
  const where = [...(off === undefined ? [] : [`off ${off}:`]), ...(points as string[])].join(' ');
  const value = mode === 'millivolts' ? '1 mV millivolts' : `OL ${mode}`;
  const say = parseSayUnder(board, `${where} ${value}`, derived.evidence);
  if (say.do !== 'read') throw new RpcError(CODE.refused, `"${where}" are not two points to probe`);
  const { value: _value, ...probe } = say.reading;
  return probe;
}
