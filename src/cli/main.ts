import { writeSync } from 'node:fs';
import type { Context } from './context.ts';
import { EXIT } from './exit.ts';

/** Runs the command with the words after its name; gives the exit code. */
export async function main(words: readonly string[]): Promise<number> {
  const context = contextOf(words);
  try {
    if (isHelp(words)) return await printHelp(context);
    if (words[0] === 'completion' && words[1] === 'answer')
      return await answerShell(context, words.slice(2));
    if (isBare(words)) return await runBare(context);
    const { runProgram } = await import('./program.ts');
    return await runProgram(words, context);
  } catch (error) {
    const { reportFailure } = await import('./failure.ts');
    return reportFailure(error, context, words);
  }
}

/**
 * Flags that matter before the words are parsed: an error must obey them too. Streams are made when
 * they are first asked for, as that takes Node a while.
 */
function contextOf(words: readonly string[]): Context {
  const { env } = process;
  const json = words.includes('--json');
  const plain = words.includes('--plain');
  const isSilent = words.includes('--no-sound');
  const colour = !words.includes('--no-color');
  return {
    get stdin() {
      return process.stdin;
    },
    get stdout() {
      return endingQuietly(process.stdout);
    },
    get stderr() {
      return endingQuietly(process.stderr);
    },
    env,
    json,
    plain,
    isSilent,
    colour,
  };
}

/** The help on everything needs no command read. */
function isHelp(words: readonly string[]): boolean {
  const [first, ...rest] = words;
  return (first === '--help' || first === '-h') && rest.every((word) => BARE.has(word));
}

async function printHelp({ stdout }: Context): Promise<number> {
  const { longHelp } = await import('./help.ts');
  stdout.write(longHelp());
  return EXIT.ok;
}

/** Flags that the guided run takes without its name. */
const BARE: ReadonlySet<string> = new Set(['--no-color', '--plain', '--no-sound']);

function isBare(words: readonly string[]): boolean {
  return words.every((word) => BARE.has(word));
}

/** Without a command: the guided run where a person sits, short help elsewhere. */
async function runBare(context: Context): Promise<number> {
  if (!context.stdin.isTTY || !context.stderr.isTTY) {
    const { shortHelp } = await import('./help.ts');
    context.stdout.write(shortHelp());
    return EXIT.ok;
  }
  const { runGuided } = await import('./guided/run.ts');
  return await runGuided(context);
}

/** Asked by a shell in the middle of a word: the shortest way there is. */
async function answerShell({ stdout }: Context, words: readonly string[]): Promise<number> {
  const { completionAnswer } = await import('./completion/answer.ts');
  stdout.write(completionAnswer(words));
  return EXIT.ok;
}

/** Written to by its number, as its stream may be what fails. */
const STDERR = 2;

const listened = new WeakSet<NodeJS.WriteStream>();

/**
 * Someone closed the pipe we write to (`| head`): that is no error of anybody's. Any other trouble with
 * writing (a full disk) is told where that can still be done, and ends the run.
 */
function endingQuietly(stream: NodeJS.WriteStream): NodeJS.WriteStream {
  if (listened.has(stream)) return stream;
  listened.add(stream);
  return stream.on('error', (error: NodeJS.ErrnoException) => {
    if (error.code === 'EPIPE' || error.code === 'EIO') process.exit(process.exitCode ?? EXIT.ok);
    if (stream === process.stdout) tellUnwritten(error);
    process.exit(EXIT.badInput);
  });
}

function tellUnwritten({ code = '', message }: NodeJS.ErrnoException): void {
  const why =
    code === 'ENOSPC' ? 'the disk is full' : code === '' ? message : `the system says ${code}`;
  const text = `error[OUTPUT] cannot write to standard output: ${why}\n  what was recorded in a job is kept\n`;
  try {
    writeSync(STDERR, text);
  } catch {
    // Nowhere left to say it.
  }
}
