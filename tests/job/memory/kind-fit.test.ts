import { expect, it } from 'vitest';
import { kindFits } from '../../../src/job/memory/kind-fit.ts';
import { pastOf } from '../../../src/job/memory/past.ts';
import { DEFAULT_MEMORY_RULES } from '../../../src/job/memory/rules.ts';
import { foundFailed, madeLesson } from './made-lesson.ts';

it('tells how the handbooks fit, kinds that fail oftenest beside them first', () => {
  const lessons = Array.from({ length: 40 }, (_, n) =>
    madeLesson(n, {
      failed: n % 4 === 0 ? [foundFailed('C1', 'ceramic')] : [],
      expected: {
        kinds: { ceramic: 0.05, resistor: 0.2, led: 0.001 },
        duties: {},
        joints: 0,
        banks: 0,
      },
    }),
  );
  const rules = { ...DEFAULT_MEMORY_RULES, halfAfter: 1e9 };
  const fits = kindFits(pastOf([], [lessons], rules));
  expect(fits).toEqual([
    { kind: 'ceramic', found: 10, expected: 2, times: 2.6 },
    { kind: 'resistor', found: 0, expected: 8, times: 0.27 },
  ]);
  expect(kindFits(pastOf(lessons, [], rules))).toEqual(fits);
});
