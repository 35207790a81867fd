import fc from 'fast-check';
import type { FoundFailed, Lesson } from '../../../src/job/memory/lesson.ts';

/** A lesson of a job that was signed off; what a test says of it in place of nothing. */
export function madeLesson(n: number, said: Partial<Lesson> = {}): Lesson {
  return {
    job: `job-${n}`,
    board: 'Hoist',
    at: new Date(Date.UTC(2026, 0, 1) + n * 3_600_000).toISOString(),
    teaches: { weight: 1, why: 'signed off cleared' },
    failed: [],
    renewed: [],
    cleared: [],
    joints: [],
    banks: [],
    units: [],
    expected: { kinds: { resistor: 0.1, ceramic: 0.1 }, duties: {}, joints: 0.1, banks: 0.1 },
    minutes: {},
    stages: {},
    ...said,
  };
}

/** @param duty where a test asks what the part was there for */
export function foundFailed(
  part: string,
  kind: string,
  how?: 'short' | 'open',
  duty = `${kind} at signal`,
): FoundFailed {
  return { part, kind, duty, by: 'own legs', sure: 1, ...(how === undefined ? {} : { how }) };
}

/** Lessons of any jobs on a board with these parts (kind by name). */
export function lessonsOf(parts: Readonly<Record<string, string>>): fc.Arbitrary<Lesson[]> {
  const failed = fc.uniqueArray(
    fc.record({
      part: fc.constantFrom(...Object.keys(parts)),
      how: fc.constantFrom('short' as const, 'open' as const),
      sure: fc.constantFrom(0.2, 0.7, 1),
    }),
    { selector: ({ part }) => part, maxLength: 4 },
  );
  const lesson = fc.record({
    n: fc.nat(500),
    failed,
    weight: fc.constantFrom(0, 0.3, 0.4, 0.8, 1),
    minutes: fc.double({ min: 0.06, max: 25, noNaN: true }),
    board: fc.constantFrom('Hoist', 'Hoist', 'Charger', 'Drive'),
  });
  return fc.uniqueArray(lesson, { selector: ({ n }) => n, maxLength: 25 }).map((drawn) =>
    drawn.map(({ n, failed: found, weight, minutes, board }) =>
      madeLesson(n, {
        board,
        teaches: { weight, why: 'drawn' },
        failed: found.map(({ part, how, sure }) => ({
          part,
          kind: parts[part] ?? '',
          duty: `${parts[part]} at signal`,
          how,
          sure,
          by: 'look',
        })),
        units: found.flatMap(({ part, sure }) => (sure >= 0.5 ? [part] : [])).sort(),
        minutes: { look: [1, Math.log(minutes), Math.log(minutes) ** 2] },
      }),
    ),
  );
}
