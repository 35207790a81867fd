import { existsSync } from 'node:fs';
import {
  type Answer,
  isComplaint,
  printAnswer,
  type Question,
  readAnswer,
} from '../board/skeletons/question.ts';
import type { Skeleton } from '../board/skeletons/skeleton.ts';
import { questionsOf, SKELETONS } from '../board/skeletons/skeleton-board.ts';
import type { Context } from './context.ts';

type Prompt = ReturnType<typeof import('inquirer')['default']['createPromptModule']>;

/** Asks which stage; Ctrl-C throws. */
export async function askSkeleton(context: Context): Promise<Skeleton> {
  const prompt = await promptOn(context);
  const { stage } = await prompt<{ stage: Skeleton }>([
    {
      type: 'select',
      name: 'stage',
      message: 'Which stage is the board built round?',
      pageSize: 12,
      choices: SKELETONS.map((each) => ({
        name: each.title,
        value: each,
        description: each.summary,
      })),
    },
  ]);
  return stage;
}

/**
 * Asks what is not answered yet, Enter taking the usual answer; adds to `answers`.
 * @throws {ExitPromptError} on Ctrl-C
 */
export async function askSize(
  context: Context,
  stage: Skeleton,
  answers: Map<string, Answer>,
): Promise<void> {
  const prompt = await promptOn(context);
  for (const question of questionsOf(stage)) {
    if (!answers.has(question.name)) answers.set(question.name, await ask(prompt, question));
  }
}

/** Asks for the file to write; one that is there is not offered. */
export async function askFile(context: Context, stage: Skeleton): Promise<string> {
  const prompt = await promptOn(context);
  const { file } = await prompt<{ file: string }>([
    {
      type: 'input',
      name: 'file',
      message: 'Board file to make:',
      default: freeName(stage.name),
      validate: (text: string) => !existsSync(text.trim()) || 'There is such a file already.',
    },
  ]);
  return file.trim();
}

async function ask(prompt: Prompt, question: Question): Promise<Answer> {
  const { name, ask: message, usual } = question;
  if (question.is === 'yes-or-no') {
    const asked = [{ type: 'confirm', name, message, default: question.usual }] as const;
    return (await prompt<Record<string, boolean>>([...asked]))[name] ?? question.usual;
  }
  if (question.is === 'choice') {
    const choices = [...question.words];
    const asked = [{ type: 'select', name, message, choices, default: question.usual }] as const;
    return (await prompt<Record<string, string>>([...asked]))[name] ?? question.usual;
  }
  const validate = (text: string): true | string => {
    const answer = readAnswer(question, text);
    return isComplaint(answer) ? `${answer.message}. ${answer.hint ?? ''}`.trim() : true;
  };
  const asked = [{ type: 'input', name, message, default: printAnswer(usual), validate }] as const;
  const typed = (await prompt<Record<string, string>>([...asked]))[name] ?? '';
  const answer = readAnswer(question, typed);
  return isComplaint(answer) ? usual : answer;
}

async function promptOn(context: Context): Promise<Prompt> {
  const { default: inquirer } = await import('inquirer');
  const streams = { input: context.stdin, output: context.stderr };
  return inquirer.createPromptModule(streams) as unknown as Prompt;
}

function freeName(base: string): string {
  let name = `${base}.yaml`;
  for (let n = 2; existsSync(name); n += 1) name = `${base}-${n}.yaml`;
  return name;
}
