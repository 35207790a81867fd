import { drillLines, viewDrill } from '../../report/drill.ts';
import { openBoard } from '../boards.ts';
import { type Context, styleFor } from '../context.ts';
import { EXIT } from '../exit.ts';
import { runSession } from '../guided/session.ts';
import { cautionAtTerminal } from '../opening.ts';
import { shopInForce, useShop } from '../shop.ts';
import { shownLines } from '../shown.ts';
import { study } from '../study.ts';
import { benchPlayer } from './bench-player.ts';
import { type DrillOptions, drillBench } from './drill-bench.ts';
import { drillWork } from './drill-work.ts';

/** A drill a person plays: the simulated board answers when Enter is pressed. */
export async function playAtTerminal(
  context: Context,
  path: string,
  options: DrillOptions,
): Promise<number> {
  const { board } = await openBoard(context, path);
  await useShop(context, board, await shopInForce(context));
  const bench = drillBench(board, options);
  const work = drillWork(board, `Drill, seed ${options.seed}`);
  await cautionAtTerminal(context, board, ['This is a drill. On a real board all of this holds.']);
  const { minutes } = await runSession(context, work, benchPlayer(board, bench));
  const { raw } = study(board, work.derived.evidence).advice();
  const clear = raw.step.kind === 'done' && raw.phase === 'clear';
  const view = viewDrill(board, bench.hidden, work.derived, { clear, minutes });
  const style = await styleFor(context, context.stdout);
  context.stdout.write(`${shownLines(context, context.stdout, drillLines(view, style))}\n`);
  return EXIT.ok;
}
