import type { Style } from '../report/style.ts';
import { NO_COLOUR, usableWidth } from '../report/style.ts';

/** The outside world as a command sees it. */
export interface Context {
  readonly stdin: NodeJS.ReadStream;
  /** Results only. */
  readonly stdout: NodeJS.WriteStream;
  /** Prompts, progress, cautions and errors. */
  readonly stderr: NodeJS.WriteStream;
  readonly env: NodeJS.ProcessEnv;
  /** True when the result is to be one JSON document. */
  readonly json: boolean;
  /** False when the person asked for none. */
  readonly colour: boolean;
  /** True when lines are only ever added to the screen, for a screen reader: `--plain`. */
  readonly plain?: boolean;
  /** True when the person wants to hear nothing: `--no-sound`. */
  readonly isSilent?: boolean;
  /** The settings file, or the database of the memory, that `--shop` names. */
  readonly shop?: string | undefined;
}

/** What a command found, ready to be printed as text or as JSON. */
export interface CommandResult {
  readonly exit: number;
  /** The document `--json` prints, without its `schema`; none of a command that has said all it says. */
  readonly document?: Readonly<Record<string, unknown>>;
  /** What the document is called in its schema; the command's own name when left out. */
  readonly name?: string;
  readonly text: (style: Style) => readonly string[];
}

/** Words and options of one call, as the command table declares them. */
export interface Arguments {
  readonly words: readonly string[];
  readonly options: Readonly<
    Record<string, string | number | boolean | readonly string[] | undefined>
  >;
}

export type Run = (context: Context, args: Arguments) => Promise<CommandResult>;

/** Width and colour for text on the given stream. */
export async function styleFor(context: Context, stream: NodeJS.WriteStream): Promise<Style> {
  const width = usableWidth(stream.isTTY ? stream.columns : columnsOf(context.env));
  if (!wantsColour(context, stream)) return { width, palette: NO_COLOUR };
  const { colourPalette } = await import('./colour.ts');
  return { width, palette: colourPalette(context.env) };
}

/** Whether nothing on the screen may be written over: asked for, or a terminal that cannot. */
export function isPlain({ plain, env }: Pick<Context, 'plain' | 'env'>): boolean {
  return plain === true || isSet(env.TRACE_SHORT_PLAIN) || env.TERM === 'dumb';
}

/** A refusal beats a demand; a demand beats the guess from the terminal. */
export function wantsColour(context: Context, stream: { readonly isTTY?: boolean }): boolean {
  const { env } = context;
  if (!context.colour || isSet(env.NO_COLOR)) return false;
  if (isSet(env.FORCE_COLOR)) return env.FORCE_COLOR !== '0' && env.FORCE_COLOR !== 'false';
  return stream.isTTY === true && env.TERM !== 'dumb';
}

function isSet(value: string | undefined): boolean {
  return value !== undefined && value !== '';
}

/** Off a terminal the width may still be told by the environment. */
function columnsOf(env: NodeJS.ProcessEnv): number | undefined {
  const columns = Number(env.COLUMNS);
  return Number.isInteger(columns) && columns > 0 ? columns : undefined;
}
