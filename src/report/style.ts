/** Marks text on its way to a terminal; without colour every mark leaves the text as it is. */
export interface Palette {
  /** The one thing to do or read. */
  readonly strong: (text: string) => string;
  /** What may be passed over. */
  readonly quiet: (text: string) => string;
  /** Shown healthy. */
  readonly good: (text: string) => string;
  /** A short, a fault, an error. */
  readonly bad: (text: string) => string;
  /** A caution or a doubt. */
  readonly warn: (text: string) => string;
}

/** How wide the text may be and how it is marked. */
export interface Style {
  /** Columns, 50 to 200. */
  readonly width: number;
  readonly palette: Palette;
}

const same = (text: string): string => text;

/** No colour at all. Every text must read well with it: nothing is told by colour alone. */
export const NO_COLOUR: Palette = { strong: same, quiet: same, good: same, bad: same, warn: same };

/** The width to lay text out for, given what a terminal says it has. */
export function usableWidth(columns: number | undefined): number {
  return Math.min(200, Math.max(50, columns ?? 80));
}
