import type { Context } from '../context.ts';
import { interrupted } from '../exit.ts';
import { shownLines } from '../shown.ts';
import { askAt } from './ask.ts';

/** One question of the start, as the list prompts take it. */
interface Question {
  readonly type: 'select' | 'input';
  readonly name: string;
  readonly message: string;
  readonly choices?: readonly { readonly name: string; readonly value: string }[];
  readonly default?: string;
  readonly validate?: (text: string) => boolean | string;
}

/** Asks the same questions as the list prompts do, line by line: a numbered list, a line of text. */
export function plainPrompter(
  context: Context,
): (questions: readonly Question[]) => Promise<Record<string, string>> {
  return async (questions) => {
    const answers: Record<string, string> = {};
    for (const question of questions) {
      answers[question.name] =
        question.type === 'select' ? await pick(context, question) : await type(context, question);
    }
    return answers;
  };
}

/** The number and Enter; Enter alone takes the first. */
async function pick(context: Context, { message, choices = [] }: Question): Promise<string> {
  const rows = choices.map(({ name }, index) => `${index + 1} ${name}`);
  context.stderr.write(`${shownLines(context, context.stderr, [message, ...rows])}\n`);
  for (;;) {
    const text = await line(context, 'Number (Enter: 1)');
    const found = choices[text === '' ? 0 : Number(text) - 1];
    if (found !== undefined) return found.value;
    context.stderr.write(`"${text}" is none of them.\n`);
  }
}

async function type(context: Context, question: Question): Promise<string> {
  const { message, default: usual, validate = () => true } = question;
  for (;;) {
    const typed = await line(
      context,
      usual === undefined ? message : `${message} (Enter: ${usual})`,
    );
    const text = typed === '' && usual !== undefined ? usual : typed;
    const verdict = validate(text);
    if (verdict === true) return text;
    context.stderr.write(`${verdict === false ? 'That will not do.' : verdict}\n`);
  }
}

async function line(context: Context, message: string): Promise<string> {
  const answer = await askAt(context, { message, keys: new Set(), hint: '' });
  if (answer.kind === 'closed') throw interrupted();
  return answer.kind === 'line' ? answer.text : '';
}
