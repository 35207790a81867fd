import type { PartList } from '../../board/part-list/part-list.ts';
import { harmless } from '../../board/shown-text.ts';
import { cautionLines, shortCautionLines } from '../../report/cautions.ts';
import { type Context, styleFor } from '../context.ts';
import { say } from '../print.ts';

/** Values and words that speak of mains. */
const MAINS = /mains|\b[XY][12]\b|\b(2[0-9]{2}|[34]\d\d)\s?V/i;

/** The cautions of a cold board, before its nets are known: no option leaves them out. */
export async function cautionForMap(
  context: Context,
  list: PartList,
  isShort: boolean,
): Promise<void> {
  const mains = list.parts.find(({ source }) =>
    MAINS.test(`${source?.value ?? ''} ${source?.description ?? ''}`),
  );
  const base = { board: harmless(list.name), mains: mains !== undefined, charges: [] };
  const view =
    mains === undefined ? base : { ...base, mainsReason: `part ${harmless(mains.name)}` };
  const style = await styleFor(context, context.stderr);
  say(context, isShort ? shortCautionLines(view, style) : cautionLines(view, style));
}
