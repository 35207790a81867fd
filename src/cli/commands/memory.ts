import { existsSync, statSync } from 'node:fs';
import { dirname } from 'node:path';
import { InputError } from '../../board/diagnostic.ts';
import { nearest } from '../../board/nearest.ts';
import { harmless } from '../../board/shown-text.ts';
import { kindFits } from '../../job/memory/kind-fit.ts';
import { jobId } from '../../job/memory/lesson.ts';
import { type Corrections, goesBy } from '../../job/memory/models.ts';
import { nameless } from '../../job/memory/nameless.ts';
import type { MemoryStore, ModelSummary } from '../../job/memory/store.ts';
import { openJob } from '../../job/record.ts';
import { modelDocument } from '../../report/memory/document.ts';
import { viewModel } from '../../report/memory/model-view.ts';
import { type MemoryView, memoryLines, modelRow } from '../../report/memory/models.ts';
import { sheetHtml } from '../../report/sheet/html.ts';
import { sheetLines } from '../../report/sheet/text.ts';
import { wrap } from '../../report/wrap.ts';
import type { CommandResult, Context, Run } from '../context.ts';
import { EXIT } from '../exit.ts';
import { writeWhole } from '../files.ts';
import { isJob } from '../job-files.ts';
import { memoryOf, recordsFolder } from '../memory.ts';
import { databaseOf, type ShopInForce, shopInForce } from '../shop.ts';

/** What past boards taught: all models, or one; and what people put right in it. */
export const run: Run = async (context, { words, options }) => {
  const place = typeof options.in === 'string' ? options.in : '.';
  if (!existsSync(place)) refuse(`"${place}": there is no such folder`);
  const folder = statSync(place).isDirectory() ? place : dirname(place);
  const inForce = await shopInForce(context, folder);
  if (options.prepare === true) return prepared(context, inForce);
  const store = await memoryOf(context, inForce, folder);
  const said = await putRight(store, options);
  if (said !== undefined) return done(said);
  const overwrite = options.overwrite === true;
  if (typeof options.export === 'string') return exported(store, options.export, overwrite);
  const models = await store.models();
  const corrections = await store.corrections();
  const { handbooksCount, halfAfter } = inForce.shop.memory;
  const rules = { strength: handbooksCount, halfAfter };
  const [asked] = words;
  if (asked === undefined) {
    if (typeof options.html === 'string') refuse('--html is for one model: name it');
    const place = await placeOf(context, inForce, folder);
    // Of no board's model, so that all models are others.
    const past = await store.past({ board: '' }, rules);
    return overview(models, corrections, inForce, {
      ...place,
      kinds: past === undefined ? [] : kindFits(past),
    });
  }
  const model = knownModel(asked, models, corrections);
  const names = [...corrections.sameAs.keys()].filter(
    (name) => goesBy(name, corrections) === model,
  );
  const view = viewModel(model, await store.lessonsOf(model), rules, names);
  const sheet = modelDocument(view);
  if (typeof options.html === 'string') {
    writeWhole(options.html, sheetHtml(sheet), overwrite);
    return done({ wrote: options.html, text: `Wrote ${harmless(options.html)}.` });
  }
  return {
    exit: EXIT.ok,
    name: 'memory-model',
    document: { ...view },
    text: (style) => sheetLines(sheet, style),
  };
};

interface Said {
  readonly text: string;
  readonly [fact: string]: unknown;
}

function done({ text, ...facts }: Said): CommandResult {
  return { exit: EXIT.ok, document: facts, text: ({ width }) => wrap(text, width) };
}

/** Does what an option asks of the memory; undefined where none does. */
async function putRight(
  store: MemoryStore,
  { forget, recall, merge, rebuild }: Readonly<Record<string, unknown>>,
): Promise<Said | undefined> {
  if (typeof forget === 'string') {
    const job = await jobNamed(store, forget);
    await store.forget(job);
    return {
      forgot: job,
      text: `Forgotten: ${job} teaches nothing any more. Its record stays as it is; --recall ${job} takes this back.`,
    };
  }
  if (typeof recall === 'string') {
    const job = await jobNamed(store, recall);
    await store.recall(job);
    return { recalled: job, text: `${job} teaches again.` };
  }
  if (typeof merge === 'string') {
    const { name, into } = await namesIn(store, merge);
    await store.merge(name, into);
    const text =
      name === into
        ? `"${harmless(name)}" stands for itself again.`
        : `"${harmless(name)}" counts as "${harmless(into)}" from now on.`;
    return { merged: name, into, text };
  }
  if (rebuild !== true) return undefined;
  await store.rebuild();
  const records = (await store.models()).reduce((sum, { jobs }) => sum + jobs, 0);
  return { records, text: `Read anew: ${records} job records.` };
}

/** A record's path, or a job's name as the overview has it. */
async function jobNamed(store: MemoryStore, named: string): Promise<string> {
  if (existsSync(named) && isJob(named)) return jobId(openJob(named));
  if (await store.knows(named)) return named;
  return refuse(
    `the memory knows no job "${named}"`,
    'name the job record, or the job as `trace-short memory MODEL` lists it',
  );
}

/** `NAME=NAME`: where names hold such signs themselves, the one that cuts two known names apart. */
async function namesIn(
  store: MemoryStore,
  text: string,
): Promise<{ readonly name: string; readonly into: string }> {
  const known = await store.names();
  const cuts = [...text.matchAll(/=/g)].map(({ index }) => {
    return { name: text.slice(0, index).trim(), into: text.slice(index + 1).trim() };
  });
  const fits = ({ name, into }: { name: string; into: string }): boolean =>
    known.includes(name) && known.includes(into);
  const best = cuts.find(fits);
  if (best !== undefined) return best;
  const [first] = cuts;
  if (first === undefined) return refuse(`"${text}" is no pair of names`, 'write it as OLD=NEW');
  const odd = known.includes(first.name) ? first.into : first.name;
  return refuse(`the memory knows no model "${odd}"`, hintFor(odd, known));
}

function knownModel(
  asked: string,
  models: readonly ModelSummary[],
  corrections: Corrections,
): string {
  const name = goesBy(asked, corrections);
  const known = models.map(({ model }) => model);
  if (known.includes(name)) return name;
  const begun = known.filter((model) => model.toLowerCase().startsWith(asked.toLowerCase()));
  const [only] = begun;
  if (begun.length === 1 && only !== undefined) return only;
  return refuse(`the memory knows no model "${asked}"`, hintFor(asked, known));
}

function hintFor(asked: string, known: readonly string[]): string {
  const near = nearest(asked, known);
  if (near !== undefined) return `did you mean "${near}"?`;
  return known.length === 0 ? 'it knows none yet' : 'trace-short memory lists them';
}

/** Makes the database ready, or brings it up to this version; for its owner. */
async function prepared(context: Context, inForce: ShopInForce): Promise<CommandResult> {
  const { linkOf } = await import('../shop-database.ts');
  const { prepareDatabase } = await import('../../job/memory/database/prepare.ts');
  const link = linkOf(context, inForce);
  const { applied, schema, halfAfter } = await prepareDatabase(link, inForce.shop.memory);
  const { shown } = link.address;
  const did = applied.length === 0 ? 'was up to date' : 'is ready';
  return done({
    database: shown,
    form: schema,
    applied,
    halfAfter,
    text: `The database at ${shown} ${did}: form ${schema}, jobs count half after ${halfAfter} more of their model. Benches come in as users that trace_short_bench is granted to; they need no other right.`,
  });
}

async function placeOf(
  context: Context,
  inForce: ShopInForce,
  folder: string,
): Promise<Pick<MemoryView, 'folder' | 'database'>> {
  const home = recordsFolder(inForce, folder);
  if (databaseOf(inForce) === undefined) return { folder: home };
  const { linkOf } = await import('../shop-database.ts');
  return { folder: home, database: linkOf(context, inForce).address.shown };
}

function overview(
  models: readonly ModelSummary[],
  { forgotten, sameAs }: Corrections,
  { shop }: ShopInForce,
  told: Pick<MemoryView, 'folder' | 'database' | 'kinds'>,
): CommandResult {
  const view = {
    ...told,
    kinds: told.kinds.map((fit) => ({ ...fit, kind: harmless(fit.kind) })),
    inUse: shop.memory.use,
    models: models.map(modelRow),
    forgotten: [...forgotten],
    merged: [...sameAs].map(([name, into]) => ({ name: harmless(name), into: harmless(into) })),
  };
  return { exit: EXIT.ok, document: view, text: (style) => memoryLines(view, style) };
}

async function exported(
  store: MemoryStore,
  path: string,
  overwrite: boolean,
): Promise<CommandResult> {
  const lessons = await store.lessons();
  const corrections = await store.corrections();
  const document = {
    schema: 'trace-short/memory-lessons/1',
    lessons: lessons.map(nameless).sort((x, y) => (x.job < y.job ? -1 : 1)),
    forgotten: [...corrections.forgotten],
    merged: Object.fromEntries(corrections.sameAs),
  };
  writeWhole(path, `${JSON.stringify(document, null, 1)}\n`, overwrite);
  return done({
    wrote: path,
    lessons: lessons.length,
    text: `Wrote ${harmless(path)}: what ${lessons.length} job records teach, without a word of any customer or the name of a technician.`,
  });
}

function refuse(message: string, hint?: string): never {
  const plain = { code: 'USAGE', severity: 'error', message } as const;
  throw new InputError([hint === undefined ? plain : { ...plain, hint }]);
}
