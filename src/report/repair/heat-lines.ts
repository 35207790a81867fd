/** How the joints of this list are heated. Figures: rework practice, the part's data sheet first. */
import type { Style } from '../style.ts';
import { labelled } from '../wrap.ts';
import type { HeatWayView, PullPartView, RepairView } from './model.ts';

const WAYS: Readonly<Partial<Record<HeatWayView, string>>> = {
  leads:
    'Leads: flux and a little fresh solder, iron at 316 to 371 °C, about 3 s a joint and 5 s at most; keep the tip turning while you suck, press on no pad, pry nothing.',
  'two ends': 'Chips: both ends molten at once, two irons or hot air; then lift, never push.',
  'legs in rows': 'Legs in rows: flux, hot air round the body, drag solder for the new one.',
  'pad underneath':
    'Pads underneath: preheat the board to 75 to 125 °C, then hot air until the joint flows (over 190 °C with lead, 230 °C without); neighbours below 180 °C, or 200 °C without lead.',
  'balls underneath':
    'Balls underneath: leave it to a rework station; a third heating is its last.',
};

export function heatLines(view: RepairView, style: Style): string[] {
  const fitted = new Set(
    view.fit.groups
      .flatMap(({ parts }) => parts.filter((part) => part.isFitted))
      .map(({ part }) => part),
  );
  const parts = view.pull.groups
    .flatMap(({ parts: own }) => own)
    .filter(({ part }) => !fitted.has(part));
  if (parts.length === 0) return [];
  const notes = notesOf(parts);
  return [
    style.palette.strong('Heat, holes, cleaning'),
    ...notes.flatMap((note) => labelled('  -', note, 4, style.width)),
  ];
}

function notesOf(parts: readonly PullPartView[]): string[] {
  const ways = new Set(parts.map(({ way }) => way));
  const known = (Object.keys(WAYS) as HeatWayView[]).filter((way) => ways.has(way));
  const hasBig = parts.some(({ bigCopper }) => bigCopper.length > 0);
  const holes = parts.reduce((sum, part) => sum + (part.holes ?? 0), 0);
  const isUnknown = parts.some((part) => part.holes === undefined);
  return [
    ...known.flatMap((way) => WAYS[way] ?? []),
    ...(hasBig
      ? [
          'Big copper drinks heat: preheat the board to 100 to 150 °C. If it does not melt in 5 s, let it cool and preheat; after two lifted pads stop.',
        ]
      : []),
    ...(holes > 0 || isUnknown
      ? [
          `Holes to clear: ${holes}${isUnknown ? ', and those of parts whose package is not known' : ''}. Count the legs of each old part; a leg that broke off is still in its hole.`,
        ]
      : []),
    'Old solder off with flux and wick or vacuum, then isopropyl alcohol (90 % or more) and a brush; look again; take high-ohm readings again once dry.',
    'Fumes away from the face; hands washed after leaded solder.',
  ];
}
