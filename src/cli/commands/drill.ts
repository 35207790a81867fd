import { drillLines, viewDrill } from '../../report/drill.ts';
import type { Style } from '../../report/style.ts';
import { minutesText } from '../../report/words.ts';
import { labelled, wrap } from '../../report/wrap.ts';
import { openBoard } from '../boards.ts';
import {
  type Arguments,
  type CommandResult,
  type Context,
  type Run,
  styleFor,
} from '../context.ts';
import { type PlayedStep, playAlone } from '../drill/auto.ts';
import { benchPlayer } from '../drill/bench-player.ts';
import { type DrillOptions, drillBench } from '../drill/drill-bench.ts';
import { drillWork } from '../drill/drill-work.ts';
import { EXIT } from '../exit.ts';
import { meterOption, shopMeter } from '../meters.ts';
import { caution } from '../opening.ts';
import { shopInForce, useShop } from '../shop.ts';
import { shownLines } from '../shown.ts';

/** Practice on a simulated board: a person plays at a terminal, elsewhere it plays itself. */
export const run: Run = async (context, { words, options }) => {
  const [path = ''] = words;
  const meter =
    (await meterOption(context, options)) ?? (await shopMeter(context, await shopInForce(context)));
  const drill = { ...drillOptions(options), ...(meter === undefined ? {} : { meter }) };
  const alone = options.auto === true || context.json || !isManned(context);
  if (!alone) {
    const { playAtTerminal } = await import('../drill/at-terminal.ts');
    return {
      exit: await playAtTerminal(context, path, drill),
      document: {},
      text: () => [],
    };
  }
  return await playAuto(context, path, drill);
};

function drillOptions(options: Arguments['options']): { seed: number; faults: number } {
  const { seed, faults } = options;
  return {
    seed: typeof seed === 'number' ? seed : 1,
    faults: typeof faults === 'number' ? faults : 1,
  };
}

function isManned({ stdin, stdout, stderr }: Context): boolean {
  return stdin.isTTY === true && stdout.isTTY === true && stderr.isTTY === true;
}

async function playAuto(
  context: Context,
  path: string,
  drill: DrillOptions,
): Promise<CommandResult> {
  const { board } = await openBoard(context, path);
  await useShop(context, board, await shopInForce(context));
  const cautions = await caution(context, board, 'short');
  const { seed } = drill;
  const bench = drillBench(board, drill);
  const work = drillWork(board, `Drill, seed ${seed}`);
  const tell = await teller(context, board.name, seed);
  const played = playAlone(work, benchPlayer(board, bench), tell);
  const result = viewDrill(board, bench.hidden, work.derived, played);
  return {
    exit: EXIT.ok,
    document: { board: board.name, seed, cautions, steps: played.steps, result },
    text: (style) => ['', ...drillLines(result, style)],
  };
}

/** Prints each step as it is played, so that a long drill is not silent; nothing for JSON. */
async function teller(
  context: Context,
  name: string,
  seed: number,
): Promise<(step: PlayedStep) => void> {
  if (context.json) return () => undefined;
  const style = await styleFor(context, context.stdout);
  const print = (lines: readonly string[]): void => {
    context.stdout.write(`${shownLines(context, context.stdout, lines)}\n`);
  };
  print([...wrap(`Drill on ${name}, seed ${seed}`, style.width), '']);
  let n = 0;
  return (step) => {
    n += 1;
    print(stepText(step, n, style));
  };
}

function stepText(step: PlayedStep, n: number, style: Style): string[] {
  const head = `${step.text} (${minutesText(step.minutes)})`;
  return [
    ...labelled(String(n).padStart(3), head, 5, style.width),
    ...labelled('', step.why, 5, style.width).map(style.palette.quiet),
    ...step.said.map((say) => style.palette.strong(`     → ${say}`)),
  ];
}
