import { InputError } from '../diagnostic.ts';
import type { Complaint } from '../findings.ts';
import { nearest } from '../nearest.ts';
import { FULL_BRIDGE, HALF_BRIDGE, THREE_PHASE_BRIDGE } from './bridges.ts';
import { BOOST, BUCK } from './choppers.ts';
import { CLASS_D } from './class-d.ts';
import { FLYBACK, TWO_SWITCH_FORWARD } from './isolated.ts';
import { LINEAR_SUPPLY } from './linear.ts';
import {
  type Answer,
  firstNumbers,
  isComplaint,
  printAnswer,
  type Question,
  readAnswer,
} from './question.ts';
import { COMMON } from './questions.ts';
import { Sheet } from './sheet.ts';
import { Size, type Skeleton } from './skeleton.ts';
import { writeSkeleton } from './write-skeleton.ts';

/** Every stage there is; one more is one more entry. */
export const SKELETONS: readonly Skeleton[] = [
  HALF_BRIDGE,
  FULL_BRIDGE,
  THREE_PHASE_BRIDGE,
  BUCK,
  BOOST,
  FLYBACK,
  TWO_SWITCH_FORWARD,
  LINEAR_SUPPLY,
  CLASS_D,
];

/**
 * The stage of this name.
 * @throws {InputError} when there is none, with the nearest one
 */
export function skeletonNamed(name: string): Skeleton {
  const typed = name
    .trim()
    .toLowerCase()
    .replace(/[\s_]+/g, '-');
  const stage = SKELETONS.find((each) => each.name === typed);
  if (stage !== undefined) return stage;
  const names = SKELETONS.map((each) => each.name);
  const near = nearest(typed, names);
  const hint = near === undefined ? `known: ${names.join(', ')}` : `did you mean "${near}"?`;
  throw refusal({
    code: 'UNKNOWN_STAGE',
    message: `there is no stage "${name}" to start from`,
    hint,
  });
}

/** All that is asked about a stage, its own questions first. */
export const questionsOf = (stage: Skeleton): readonly Question[] => [
  ...stage.questions,
  ...COMMON(stage.title),
];

/**
 * Answers typed as `name=value`; what is not among them is left as usual.
 * @throws {InputError} with everything wrong in them
 */
export function readSettings(stage: Skeleton, settings: readonly string[]): Map<string, Answer> {
  const questions = questionsOf(stage);
  const answers = new Map<string, Answer>();
  const wrong: Complaint[] = [];
  for (const setting of settings) {
    const at = setting.indexOf('=');
    const name = (at < 0 ? setting : setting.slice(0, at)).trim().toLowerCase();
    const question = questions.find((each) => each.name === name);
    if (question === undefined || at < 0) {
      wrong.push(unknownSetting(stage, setting, at < 0, questions));
      continue;
    }
    const answer = readAnswer(question, setting.slice(at + 1));
    if (isComplaint(answer)) wrong.push({ ...answer, message: `${name}: ${answer.message}` });
    else answers.set(name, answer);
  }
  if (wrong.length > 0) throw refusal(...wrong);
  return answers;
}

function unknownSetting(
  stage: Skeleton,
  setting: string,
  bare: boolean,
  questions: readonly Question[],
): Complaint {
  const names = questions.map((each) => each.name);
  const name = bare ? setting : setting.slice(0, setting.indexOf('='));
  const near = nearest(name, names);
  const message =
    bare && names.includes(name)
      ? `"${setting}" has no value`
      : `a ${stage.title.toLowerCase()} has no setting "${name}"`;
  const known = `known: ${names.map((each) => `${each}=…`).join(', ')}`;
  return { code: 'UNKNOWN_SETTING', message, hint: near === undefined ? known : `${near}=…` };
}

/** A board file made from a stage. */
export interface SkeletonBoard {
  readonly yaml: string;
  readonly name: string;
  readonly parts: number;
  /** Every answer, given or usual, as it would be typed. */
  readonly size: Readonly<Record<string, string>>;
}

/**
 * Builds the board file of a stage.
 * @param answers to its questions; the usual ones stand for those left out
 * @throws {InputError} when two answers together make no such stage
 */
export function skeletonBoard(
  stage: Skeleton,
  answers: ReadonlyMap<string, Answer>,
): SkeletonBoard {
  const questions = questionsOf(stage);
  const all = new Map(questions.map(({ name, usual }) => [name, answers.get(name) ?? usual]));
  const size = new Size(all);
  const objection = stage.objection?.(size);
  if (objection !== undefined) throw refusal({ code: 'BAD_VALUE', message: objection });
  const sheet = new Sheet(firstNumbers(size.word('first')) ?? new Map());
  stage.draw(size, sheet);
  return {
    yaml: writeSkeleton(stage, size, sheet),
    name: size.word('board'),
    parts: sheet.sections.reduce((sum, { parts }) => sum + parts.length, 0),
    size: Object.fromEntries([...all].map(([name, answer]) => [name, printAnswer(answer)])),
  };
}

function refusal(...complaints: readonly Complaint[]): InputError {
  return new InputError(
    complaints.map(({ code, message, hint }) => ({
      code,
      severity: 'error',
      message,
      ...(hint === undefined ? {} : { hint }),
    })),
  );
}
