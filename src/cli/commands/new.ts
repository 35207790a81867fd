import { InputError } from '../../board/diagnostic.ts';
import type { Answer } from '../../board/skeletons/question.ts';
import type { Skeleton } from '../../board/skeletons/skeleton.ts';
import {
  readSettings,
  SKELETONS,
  skeletonBoard,
  skeletonNamed,
} from '../../board/skeletons/skeleton-board.ts';
import { skeletonLines, viewSkeleton } from '../../report/skeleton-list.ts';
import { counted } from '../../report/words.ts';
import { wrap } from '../../report/wrap.ts';
import type { Arguments, CommandResult, Context, Run } from '../context.ts';
import { EXIT } from '../exit.ts';
import { writeWhole } from '../files.ts';

/** Makes a board file from the skeleton of a power stage; asks its size where a person sits. */
export const run: Run = async (context, { words, options }) => {
  if (options.list === true) return listed(words[0]);
  const isAsked = isManned(context) && options.usual !== true;
  const stage = await stageOf(context, words[0], isAsked);
  const answers = readSettings(stage, settingsOf(options));
  if (isAsked) await askRest(context, stage, answers);
  const made = skeletonBoard(stage, answers);
  const out = await outOf(context, stage, options, isAsked);
  const facts = { stage: stage.name, board: made.name, size: made.size, parts: made.parts };
  if (out === undefined) {
    const lines = made.yaml.replace(/\n$/, '').split('\n');
    return { exit: EXIT.ok, document: { ...facts, yaml: made.yaml }, text: () => lines };
  }
  writeWhole(out, made.yaml, options.overwrite === true);
  return {
    exit: EXIT.ok,
    document: { ...facts, out },
    text: (style) => [
      ...wrap(
        `Wrote ${out}: ${stage.title.toLowerCase()}, ${counted(made.parts, 'part')}. ` +
          'It is what such boards usually are: hold it against the one on the bench, part by part.',
        style.width,
      ),
      `Then: trace-short board ${out}`,
    ],
  };
};

function listed(name: string | undefined): CommandResult {
  const stages = (name === undefined ? SKELETONS : [skeletonNamed(name)]).map(viewSkeleton);
  return { exit: EXIT.ok, document: { stages }, text: (style) => skeletonLines(stages, style) };
}

async function stageOf(
  context: Context,
  name: string | undefined,
  isAsked: boolean,
): Promise<Skeleton> {
  if (name !== undefined) return skeletonNamed(name);
  if (isAsked) return await (await import('../skeleton-prompt.ts')).askSkeleton(context);
  const message = 'which stage is it made from?';
  const hint = `one of ${SKELETONS.map((stage) => stage.name).join(', ')}; see trace-short new --list`;
  throw new InputError([{ code: 'USAGE', severity: 'error', message, hint }]);
}

function settingsOf(options: Arguments['options']): readonly string[] {
  return Array.isArray(options.set) ? options.set : [];
}

async function askRest(
  context: Context,
  stage: Skeleton,
  answers: Map<string, Answer>,
): Promise<void> {
  const { askSize } = await import('../skeleton-prompt.ts');
  await askSize(context, stage, answers);
}

/** Where it is written; printed where nobody was asked for a file. */
async function outOf(
  context: Context,
  stage: Skeleton,
  options: Arguments['options'],
  isAsked: boolean,
): Promise<string | undefined> {
  if (typeof options.out === 'string') return options.out === '-' ? undefined : options.out;
  if (!isAsked) return undefined;
  const { askFile } = await import('../skeleton-prompt.ts');
  return await askFile(context, stage);
}

function isManned({ stdin, stdout, stderr, json }: Context): boolean {
  return !json && stdin.isTTY === true && stdout.isTTY === true && stderr.isTTY === true;
}
