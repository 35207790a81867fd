import { harmless } from '../board/shown-text.ts';
import type { Shop } from '../job/shop/shop.ts';
import { shopFigures } from '../job/shop/shop-figures.ts';
import type { Style } from './style.ts';
import { counted } from './words.ts';
import { GLUE, labelled, wrap } from './wrap.ts';

/** How a settings file was found. */
export type FoundBy = 'flag' | 'environment' | 'folder' | 'user' | 'none';

/** The settings in force and where each comes from: what is shown, and what `--json` prints. */
export interface ShopView {
  /** The job they hold for, when one was named: its doubts are those it was opened with. */
  readonly job?: string;
  readonly by: FoundBy;
  /** The settings file; absent where the defaults hold throughout. */
  readonly file?: string;
  readonly settings: readonly SettingView[];
}

export interface SettingView {
  /** Path of keys in the file: `bench-times.reading.ohms`. */
  readonly setting: string;
  /** As the file would have it; absent where there is none. */
  readonly value?: string;
  readonly default?: string;
  /** Line of the file that says so; absent where the default holds. */
  readonly line?: number;
  readonly means: string;
}

/** Every setting in force, with its default and where it comes from. */
export function viewShop(
  shop: Shop,
  found: { readonly by: FoundBy; readonly file?: string },
  lines: ReadonlyMap<string, number>,
): ShopView {
  const settings = shopFigures(shop).map(({ path, doc, text, defaultText }) => {
    const setting = path.join('.');
    const line = lines.get(setting);
    return {
      setting,
      ...(text === undefined ? {} : { value: text }),
      ...(defaultText === undefined ? {} : { default: defaultText }),
      ...(line === undefined ? {} : { line }),
      means: doc,
    };
  });
  const { by, file } = found;
  return { by, ...(file === undefined ? {} : { file }), settings };
}

const INDENT = 26;
/** On a narrow screen the figures stand below their key. */
const NARROW = 66;
const NARROW_INDENT = 8;

/** Where the settings come from, then all of them by group, each that a file gives with its line. */
export function shopLines(view: ShopView, style: Style): string[] {
  const kept =
    view.job === undefined
      ? []
      : wrap(`The doubts are those ${harmless(view.job)} was opened with.`, style.width);
  return [
    ...headLines(view, style),
    ...kept,
    ...groupsOf(view).flatMap((group) => groupLines(group, style)),
  ];
}

const RULES: Readonly<Record<FoundBy, string>> = {
  flag: 'named with --shop',
  environment: 'named by TRACE_SHORT_SHOP',
  folder: 'found in this folder or above',
  user: 'found in your configuration folder',
  none: '',
};

function headLines({ by, file, settings }: ShopView, style: Style): string[] {
  if (file === undefined) {
    const why =
      by === 'none'
        ? 'No settings file was found: no --shop, no TRACE_SHORT_SHOP, no trace-short.yaml here or above, none in your configuration folder.'
        : `No settings file is used, as ${by === 'flag' ? '--shop none' : 'TRACE_SHORT_SHOP=none'} says.`;
    const then = 'The defaults hold. One to start from: trace-short shop --write trace-short.yaml';
    return [...wrap(why, style.width), ...wrap(then, style.width)];
  }
  const changed = settings.filter(({ value, default: usual }) => value !== usual);
  const count = changed.length === 0 ? 'all as the defaults' : counted(changed.length, 'setting');
  const head = `${harmless(file)}, ${RULES[by]}: ${count}${changed.length === 0 ? '' : ' of its own'}.`;
  return wrap(head, style.width).map(style.palette.strong);
}

interface Group {
  readonly title: string;
  readonly rows: readonly { readonly label: string; readonly settings: readonly SettingView[] }[];
}

/** Settings by their first key, then by their second: a row each. */
function groupsOf({ settings }: ShopView): Group[] {
  const groups = new Map<string, Map<string, SettingView[]>>();
  for (const setting of settings) {
    const [first = '', ...rest] = setting.setting.split('.');
    const title = rest.length === 0 ? '' : first;
    const label = rest.length === 0 ? first : (rest[0] ?? '');
    const rows = groups.get(title) ?? new Map<string, SettingView[]>();
    groups.set(title, rows.set(label, [...(rows.get(label) ?? []), setting]));
  }
  return [...groups].map(([title, rows]) => ({
    title,
    rows: [...rows].map(([label, inRow]) => ({ label, settings: inRow })),
  }));
}

function groupLines({ title, rows }: Group, style: Style): string[] {
  const known = rows.filter(({ settings }) => settings.some(({ value }) => value !== undefined));
  if (known.length === 0) return [];
  const indent = style.width < NARROW ? NARROW_INDENT : INDENT;
  const head = title === '' ? [] : [style.palette.strong(title)];
  const body = known.flatMap(({ label, settings }) => {
    const text = settings
      .filter(({ value }) => value !== undefined)
      .map((setting) => settingText(setting, label))
      .join(', ');
    return labelled(`  ${harmless(label)} `, text, indent, style.width);
  });
  return ['', ...head, ...body];
}

/** `four-wire 2 (line 3, default 1.5)`; where the default holds, the figure alone. */
function settingText(
  { setting, value = '', line, default: usual }: SettingView,
  label: string,
): string {
  const name = setting.split('.').at(-1) ?? '';
  const said = `${name === label ? '' : `${harmless(name)} `}${harmless(value)}`;
  if (value === usual) return glued(said);
  // A figure that no line of the file gives comes from the job.
  if (line === undefined) {
    // One without a default comes from the call.
    return usual === undefined ? glued(said) : `${glued(said)} (${glued(`default ${usual}`)})`;
  }
  const was = usual === undefined ? '' : `, ${glued(`default ${usual}`)}`;
  return `${glued(said)} (${glued(`line ${line}`)}${was})`;
}

/** A list or a text may break; a figure stays with its name. */
function glued(text: string): string {
  return text.length < 30 ? text.replaceAll(' ', GLUE) : text;
}
