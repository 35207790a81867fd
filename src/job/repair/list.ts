/** The repair list of a job: what is renewed, what goes back, what is mended without a new part. */
import { TURNED_MODE } from '../../circuit/turned.ts';
import type { Diagnosis } from '../../faults/diagnosis.ts';
import type { Analysis } from '../../steps/advise.ts';
import type { DerivedJob } from '../derive.ts';
import type { JobPurpose } from '../event-line.ts';
import { SUSPECT_WEIGHT } from './failures.ts';
import { repairItems } from './items.ts';
import type { BackItem, MendItem, RepairItem, RepairList } from './model.ts';
import { type Sightings, sightingsOf } from './sightings.ts';
import { isolationOf, ticksOf } from './ticks.ts';

/**
 * Derives the repair list. Costs one weighing for each event that replaced parts, and none else.
 * @param analysis of the job's evidence as it stands
 */
export function repairList(
  analysis: Analysis,
  job: DerivedJob,
  purpose: JobPurpose = 'repair',
): RepairList {
  const sightings = sightingsOf(job);
  const items = repairItems(analysis, job, purpose, sightings);
  const open = new Set(items.filter((item) => isOpen(item)).map(({ part }) => part));
  const { state } = analysis.evidence;
  return {
    purpose,
    items,
    goesBack: [...state.off]
      .filter((part) => !open.has(part))
      .sort((a, b) => a - b)
      .map((part) => backItem(job, part)),
    lifted: [...state.lifted].sort((a, b) => a - b),
    mend: mendItems(analysis.diagnosis, sightings),
  };
}

function backItem(job: DerivedJob, part: number): BackItem {
  const isolation = isolationOf(job, part, false);
  return {
    part,
    ticks: ticksOf(job, part, false),
    ...(isolation === undefined ? {} : { isolation }),
  };
}

/** Still to be renewed, beyond a suspicion. */
export function isOpen(item: RepairItem): boolean {
  return item.need === 'sure' && item.doneAt === undefined;
}

/** Parts that come off and go on: those renewed, done or not, and those that go back. */
export function handled({ items, goesBack }: RepairList): number[] {
  const renewed = items.filter(({ need }) => need === 'sure').map(({ part }) => part);
  const back = goesBack.map(({ part }) => part).filter((part) => !renewed.includes(part));
  return [...renewed, ...back].sort((a, b) => a - b);
}

/** Those of {@link handled} that are not fitted yet: what can still be mixed up or turned round. */
export function stillHandled(list: RepairList): number[] {
  const back = new Set(list.goesBack.map(({ part }) => part));
  const fitted = new Set(list.items.filter(({ doneAt }) => doneAt).map(({ part }) => part));
  return handled(list).filter((part) => back.has(part) || !fitted.has(part));
}

/** Joints, bridges, breaks and parts to be turned, by the fault sets and by what eyes found. */
function mendItems(diagnosis: Diagnosis, { joints }: Sightings): MendItem[] {
  const found = new Map<string, MendItem>();
  for (const { faults, weight } of diagnosis.sets) {
    for (const { what, pin, nets } of faults) {
      if (what === 'part') continue;
      const isBridge = what === 'bridge' || what === 'link';
      const key = `${isBridge ? 'bridge' : what} ${pin ?? ''} ${nets?.join('-') ?? ''}`;
      const total = (found.get(key)?.weight ?? 0) + weight;
      found.set(key, {
        what: isBridge ? 'bridge' : what,
        ...(pin === undefined ? {} : { pin }),
        ...(nets === undefined ? {} : { nets }),
        weight: Math.min(1, total),
      });
    }
  }
  for (const { part, modes } of diagnosis.suspects) {
    const weight = modes.find(({ mode }) => mode === TURNED_MODE)?.weight ?? 0;
    if (weight > 0) found.set(`turned ${part}`, { what: 'turned', part, weight });
  }
  for (const [pin, look] of joints) {
    const key = `joint ${pin} `;
    const weight = found.get(key)?.weight ?? 0;
    found.set(key, { what: 'joint', pin, weight, seenAt: look.id });
  }
  return [...found.values()]
    .filter(({ weight, seenAt }) => weight >= SUSPECT_WEIGHT || seenAt !== undefined)
    .sort((a, b) => b.weight - a.weight);
}
