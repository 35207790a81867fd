import type { ReadingsFile } from '../../bench/readings-file.ts';
import { joinReadings } from '../../bench/readings-file.ts';
import { InputError } from '../../board/diagnostic.ts';
import { checkLines, viewCheck } from '../../report/check.ts';
import { isHealthyBeep } from '../../steps/advise.ts';
import { openBoard } from '../boards.ts';
import type { Run } from '../context.ts';
import { boardAsSeen, useMeter, workbenchFor } from '../engine.ts';
import { EXIT } from '../exit.ts';
import { meterOption, shopMeter } from '../meters.ts';
import { openReadings } from '../readings.ts';
import { shopInForce, useShop } from '../shop.ts';
import { studyAloud } from '../study.ts';

/** For scripts: do saved readings show a short, in what, and with what weight. */
export const run: Run = async (context, { words, options }) => {
  const [path = '', ...paths] = words;
  if (words.filter((word) => word === '-').length > 1) refuseTwice();
  const inForce = await shopInForce(context);
  const meter = (await meterOption(context, options)) ?? (await shopMeter(context, inForce));
  const { board: plain } = await openBoard(context, path);
  useMeter(plain, meter);
  await useShop(context, plain, inForce);
  const files: ReadingsFile[] = [];
  for (const each of paths) files.push(await openReadings(context, each, plain));
  const { derived, sources } = joinReadings(plain, files);
  const board = boardAsSeen(plain, derived);
  const { diagnosis } = await studyAloud(context, board, derived.evidence);
  const view = viewCheck(board, derived.evidence, diagnosis, (reading) =>
    isHealthyBeep(workbenchFor(board), reading),
  );
  const again = diagnosis.doubtful.flatMap(({ id }) => {
    const source = sources.get(id);
    return source === undefined ? [] : [{ id, ...source }];
  });
  return {
    exit: view.contradictory ? EXIT.contradiction : view.shorted ? EXIT.found : EXIT.ok,
    document: { board: board.name, ...view, doubtfulSources: again },
    text: (style) => [
      ...checkLines(view, style),
      ...(view.contradictory
        ? again.map(({ file, line, say }) => `  ${file}:${line}: ${say}`)
        : []),
    ],
  };
};

function refuseTwice(): never {
  const message = 'standard input can be read only once, but "-" stands twice';
  throw new InputError([{ code: 'USAGE', severity: 'error', message }]);
}
