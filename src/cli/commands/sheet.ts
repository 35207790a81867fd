import { InputError } from '../../board/diagnostic.ts';
import { nearest } from '../../board/nearest.ts';
import { sheetDocument } from '../../report/sheet/document.ts';
import { type EmbeddedPhoto, sheetHtml } from '../../report/sheet/html.ts';
import { sheetMarkdown } from '../../report/sheet/markdown.ts';
import { sheetLines } from '../../report/sheet/text.ts';
import { type CostView, type SheetView, viewSheet } from '../../report/sheet/view.ts';
import type { StageView } from '../../report/standing.ts';
import { NO_COLOUR } from '../../report/style.ts';
import { accusedJoints } from '../accused-joints.ts';
import type { Arguments, Context, Run } from '../context.ts';
import { workbenchFor } from '../engine.ts';
import { EXIT } from '../exit.ts';
import { writeWhole } from '../files.ts';
import { type ReadJob, readJob } from '../jobs.ts';
import { cautionOnReturn, warnOf } from '../opening.ts';
import { boardOption } from '../options.ts';
import { findPhotos } from '../photos.ts';
import { standingOf } from '../standing.ts';
import { type Study, study } from '../study.ts';

const FORMS = ['text', 'markdown', 'html'] as const;
type Form = (typeof FORMS)[number];

/** Columns of a sheet written to a file. */
const FILE_WIDTH = 80;

/** Writes the sheet of a job: as text, as Markdown, or as one HTML file. */
export const run: Run = async (context, { words, options }) => {
  const [path = ''] = words;
  const out = typeof options.out === 'string' ? options.out : undefined;
  const form = formOf(options, out);
  const read = await readJob(context, path, boardOption(options));
  warnOf(context, read);
  await cautionOnReturn(context, read);
  const files = read.derived.intake.photos.map(({ file }) => file);
  const photos = findPhotos(path, files);
  const known = study(read.board, read.derived.evidence);
  const cost = await costOf(context, read, known);
  const view = viewSheet(workbenchFor(read.board), read.job, read.derived, {
    stages: stagesOf(read, known),
    isAccused: accusedJoints(read.board, read.derived),
    photoState: (file) => photos.get(file)?.state ?? 'missing',
    awayAfter: read.inForce.shop.thresholds.awayAfter,
    ...(cost === undefined ? {} : { cost }),
  });
  const embedded = new Map(
    [...photos].flatMap(([file, { embedded: one }]): [string, EmbeddedPhoto][] =>
      one === undefined ? [] : [[file, one]],
    ),
  );
  if (out === undefined) {
    return {
      exit: EXIT.ok,
      document: { ...view },
      text: (style) =>
        form === 'text'
          ? sheetLines(sheetDocument(view), style)
          : [written(view, form, embedded).replace(/\n$/, '')],
    };
  }
  writeWhole(out, written(view, form, embedded), options.overwrite === true);
  return {
    exit: EXIT.ok,
    document: { out, form, ...view },
    text: () => [`Wrote ${out} (${form}).`],
  };
};

function written(view: SheetView, form: Form, photos: ReadonlyMap<string, EmbeddedPhoto>): string {
  const sheet = sheetDocument(view);
  if (form === 'html') return sheetHtml(sheet, photos);
  if (form === 'markdown') return sheetMarkdown(sheet);
  return `${sheetLines(sheet, { width: FILE_WIDTH, palette: NO_COLOUR }).join('\n')}\n`;
}

/** As they stood at the last event: a sheet made later tells the same. */
function stagesOf({ board, job, derived }: ReadJob, known: Study): readonly StageView[] {
  const { purpose } = job.opening;
  const last = Date.parse(job.events.at(-1)?.at ?? job.openedAt);
  return standingOf({ board, derived, purpose }, known, last).stages;
}

/** Nothing without a settings file of the shop: there are no figures then. */
async function costOf(
  context: Context,
  read: ReadJob,
  known: Study,
): Promise<CostView | undefined> {
  if (read.inForce.file === undefined) return undefined;
  const { worthOfJob } = await import('../worth.ts');
  const view = await worthOfJob(context, read, known);
  if (view.spent === undefined) return undefined;
  const { currency, spent, usedCost, used, leavesOut } = view;
  const unpriced = used.filter(({ price }) => price === undefined).map(({ part }) => part);
  const time = leavesOut.rate ? {} : { time: spent - usedCost };
  return { currency, parts: usedCost, ...time, unpriced };
}

/** What `--form` says; else by the ending of the file; else text. */
function formOf(options: Arguments['options'], out: string | undefined): Form {
  if (typeof options.form === 'string') return namedForm(options.form);
  if (out === undefined) return 'text';
  if (/\.html?$/i.test(out)) return 'html';
  return /\.(md|markdown)$/i.test(out) ? 'markdown' : 'text';
}

function namedForm(name: string): Form {
  const form = FORMS.find((one) => one === name);
  if (form !== undefined) return form;
  const near = nearest(name, FORMS);
  const hint = near === undefined ? `the forms are ${FORMS.join(', ')}` : `did you mean "${near}"?`;
  const message = `there is no form "${name}" of a sheet`;
  throw new InputError([{ code: 'USAGE', severity: 'error', message, hint }]);
}
