import { diagnosisLines } from '../../report/diagnosis.ts';
import { pairLines, viewPair } from '../../report/explain.ts';
import { placesOf } from '../../report/picture/places.ts';
import type { DrawnRail } from '../../report/picture/rail-named.ts';
import { railReadings } from '../../report/picture/readings.ts';
import { probeOf, railOfStep } from '../../report/picture/step-rail.ts';
import { pictureLines } from '../../report/picture/text.ts';
import { viewPicture } from '../../report/picture/view.ts';
import type { Style } from '../../report/style.ts';
import { whereLines } from '../../report/where/lines.ts';
import { wherePart, whereProbe } from '../../report/where/view.ts';
import { labelled, wrap } from '../../report/wrap.ts';
import { explainPair } from '../../steps/explain-pair.ts';
import type { Step } from '../../steps/step.ts';
import type { Study } from '../study.ts';
import type { Work } from '../work.ts';
import { type KeyChoice, keyHint, TAKE_NOW } from './keys.ts';

/** The page behind `w`: what the readings leave standing, and what conducts at the step's probe. */
export function whyScreen(work: Work, study: Study, step: Step, style: Style): string[] {
  const everything = diagnosisLines(study.diagnosis, style);
  const probe = probeOf(step);
  if (probe === undefined || probe.red.net === probe.black.net) return everything;
  const pair = explainPair(study.analysis, probe.red.net, probe.black.net);
  return [...everything, '', ...pairLines(viewPair(work.board, pair), style)];
}

/** The page behind `m`: the rail that is surveyed, in its places; undefined when nothing of it has one. */
export function mapScreen(
  work: Work,
  study: Study,
  step: Step,
  style: Style,
): string[] | undefined {
  const { board, derived } = work;
  const rail = railToMap(work, step);
  if (rail === undefined) return undefined;
  const { suspects } = study.analysis.diagnosis;
  return pictureLines(
    viewPicture({ board, rail, evidence: derived.evidence, suspects, step }),
    style,
  );
}

/** Whether a step is about points or parts that can be looked for. */
export function hasWhere(step: Step): boolean {
  return probeOf(step) !== undefined || partsOf(step).length > 0;
}

/** The page behind `e`: where the probes go, and where the parts of the step are. */
export function whereScreen({ board, derived }: Work, step: Step, style: Style): string[] {
  const probe = probeOf(step);
  const { unreachable } = derived.evidence;
  const pages = [
    ...partsOf(step).map((part) => wherePart(board, part)),
    ...(probe === undefined ? [] : [whereProbe(board, probe, unreachable)]),
  ];
  return pages.flatMap((page, index) => [...(index === 0 ? [] : ['']), ...whereLines(page, style)]);
}

function partsOf(step: Step): readonly number[] {
  return 'parts' in step ? step.parts : 'part' in step ? [step.part] : [];
}

/** Whether there is a rail with places to show. */
export function hasMap(work: Work, step: Step): boolean {
  const rail = railToMap(work, step);
  return rail !== undefined && placesOf(work.board, rail, new Set()).places.length > 1;
}

/** The rail most read in milliohms or millivolts; before any is, the one the step is about. */
function railToMap({ board, derived }: Work, step: Step): DrawnRail | undefined {
  let most = 0;
  let found = railOfStep(board, step);
  for (const rail of board.rails) {
    const count = railReadings(derived.evidence.readings, rail).length;
    if (count <= most) continue;
    most = count;
    found = rail;
  }
  return found;
}

const NOTATION: readonly (readonly [string, string])[] = [
  ['P48 GND beep', 'red point first; quiet, 0.4 ohm, 12 mohm, 0.52 V, OL'],
  ['0.4', 'the value alone answers the probe asked for'],
  ['off Q3: D S 0.4 ohm', 'a part off the board, read on its own legs'],
  ['inject P48 GND 0.5 A', 'current on: C1.1 C9.1 1.8 mV, look C1 warm, inject off'],
  ['lift W3', 'one leg up; lift Q3.D for a part with more legs'],
  ['remove Q3 Q4', 'off the board; refit puts back, replace fits new ones'],
  ['look Q3 burnt', 'or cracked, leaking, reworked, dirty, looks sound, …'],
  ['look Q3.D off its pad', 'a leg that touches no more'],
  ['clean A B', 'a bridge removed; reflow Q3.D, mend A, link A B'],
  ['residual P48 GND 0.2 V', 'a voltage left; powered P48 GND 48 V under power'],
  ['tick Q3 fastened', 'also isolation Q3 OL, a tab read against its heatsink'],
  ['power 1 stopped why', 'also function, soak, skip, sign-off, photo, customer'],
  ['at C12 31.5 20 top', 'where a part or pad sits, mm; the side may be left out'],
  ['undo 2', 'takes back the last two lines; redo brings them back'],
  ['pass P48 GND no room', 'not now, and why; unreachable Q3.G: no probe gets there'],
  ['note any text', 'kept in the record'],
];

const METER_HELP =
  'The meter answers by itself once its value stands on the points and the probes had left the last ones. ' +
  'Points that read open: tap the tips on each other twice, then keep them apart, or press t.';

/** The page behind `?`. */
export function helpLines(choices: readonly KeyChoice[], style: Style): string[] {
  const lines = NOTATION.flatMap(([line, meaning]) => labelled(line, meaning, 24, style.width));
  return [
    style.palette.strong('Keys'),
    ...wrap(keyHint(choices, 'all'), style.width),
    ...wrap(
      'A key answers at once; begin with a blank to type a line that starts with one.',
      style.width,
    ),
    ...wrap(
      'A figure ends with its unit, or Enter: 4.7k; o ohm, M Mohm, m mohm, v V.',
      style.width,
    ),
    ...(choices.includes(TAKE_NOW) ? wrap(METER_HELP, style.width) : []),
    '',
    style.palette.strong('Lines you may type at any step'),
    ...lines,
  ];
}
