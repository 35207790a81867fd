import { existsSync } from 'node:fs';
import { join } from 'node:path';
import { harmless } from '../../board/shown-text.ts';
import { type Context, isPlain } from '../context.ts';
import { isBoard, isJob, yamlIn } from '../job-files.ts';
import { freeJobName } from '../jobs.ts';
import { PACKAGE_ROOT } from '../package-root.ts';
import { endOnSignals } from '../signals.ts';

/** What the person wants to work on. */
export type Choice =
  | { readonly kind: 'job'; readonly path: string }
  | {
      readonly kind: 'new';
      readonly board: string;
      readonly job: string;
      readonly purpose: 'repair' | 'refurbish';
    }
  | { readonly kind: 'drill'; readonly board: string }
  | { readonly kind: 'leave' };

/** Boards that come with the package. */
const SHIPPED = join(PACKAGE_ROOT, 'boards');

/** Asks for an open job, a board, or a drill. */
export async function choose(context: Context): Promise<Choice> {
  const prompt = await prompter(context);
  const found = filesAround();
  const { choice } = await prompt<{ choice: Choice['kind'] | string }>([
    {
      type: 'select',
      name: 'choice',
      message: 'What is on the bench?',
      pageSize: 12,
      choices: [
        ...found.jobs.map((path) => ({
          name: `Go on with ${harmless(path)}`,
          value: `job:${path}`,
        })),
        ...found.boards.map((path) => ({
          name: `New job on ${harmless(path)}`,
          value: `new:${path}`,
        })),
        ...found.boards.map((path) => ({
          name: `Drill on ${harmless(path)}`,
          value: `drill:${path}`,
        })),
        { name: 'Another file …', value: 'other:' },
        { name: 'Leave', value: 'leave:' },
      ],
    },
  ]);
  const [kind = '', ...rest] = choice.split(':');
  const path = rest.join(':');
  if (kind === 'leave') return { kind: 'leave' };
  if (kind === 'drill') return { kind: 'drill', board: path };
  if (kind === 'job') return { kind: 'job', path };
  if (kind === 'new') return await newJob(prompt, path);
  return await otherFile(prompt);
}

type Prompt = ReturnType<typeof import('inquirer')['default']['createPromptModule']>;

/** Lists to move through, or numbered ones where nothing is drawn over. */
async function prompter(context: Context): Promise<Prompt> {
  endOnSignals();
  if (isPlain(context)) {
    const { plainPrompter } = await import('./plain-choose.ts');
    return plainPrompter(context) as unknown as Prompt;
  }
  const { default: inquirer } = await import('inquirer');
  const streams = { input: context.stdin, output: context.stderr };
  return inquirer.createPromptModule(streams) as unknown as Prompt;
}

async function otherFile(prompt: Prompt): Promise<Choice> {
  const { path } = await prompt<{ path: string }>([
    {
      type: 'input',
      name: 'path',
      message: 'Board file or job file:',
      validate: (text: string) => existsSync(text.trim()) || 'There is no such file.',
    },
  ]);
  const file = path.trim();
  return isJob(file) ? { kind: 'job', path: file } : await newJob(prompt, file);
}

async function newJob(prompt: Prompt, board: string): Promise<Choice> {
  const { purpose, job } = await prompt<{ purpose: 'repair' | 'refurbish'; job: string }>([
    {
      type: 'select',
      name: 'purpose',
      message: 'What is the job?',
      choices: [
        { name: 'repair: clear the failure', value: 'repair' },
        { name: 'refurbish: renew what is due to fail as well', value: 'refurbish' },
      ],
    },
    {
      type: 'input',
      name: 'job',
      message: 'Job file to make:',
      default: freeJobName(board),
      validate: (text: string) => !existsSync(text.trim()) || 'There is such a file already.',
    },
  ]);
  return { kind: 'new', board, job: job.trim(), purpose };
}

function filesAround(): { jobs: string[]; boards: string[] } {
  const here = yamlIn('.');
  const shipped = existsSync('boards') ? yamlIn('boards') : yamlIn(SHIPPED);
  const jobs = here.filter(isJob);
  const boards = [...here.filter((path) => isBoard(path)), ...shipped.filter(isBoard)];
  return { jobs, boards };
}
