/**
 * Which mark on a body means which end, by family.
 *
 * Sources: `makers`, marking notes as gathered in a distributor's guide to capacitor polarity
 * (digikey.sg/en/blog/identifying-capacitor-polarization) and a board maker's to diodes
 * (pcb-hero.com, SMD polarity identification); `usual practice`, what the trade does, to be checked
 * against the part's own data sheet.
 */
import type { Family } from './package-family.ts';

/** The end a mark stands for. */
export type MarkedEnd = 'minus' | 'plus' | 'cathode' | 'pin 1';

export interface MarkFact {
  /** What is marked and what it means, in a sentence. */
  readonly words: string;
  /** The mark itself, `stripe`; none where the legs tell, or nothing needs telling. */
  readonly mark?: string;
  readonly means?: MarkedEnd;
  /** A mark along or across one end of the body, easily taken for another family's. */
  readonly isEndMark?: boolean;
  /** What the body is called where conventions are held against each other. */
  readonly body: string;
  readonly source: 'makers' | 'usual practice';
}

export const MARKS: Readonly<Record<Family, MarkFact>> = {
  'can, leaded': {
    words: 'The stripe down the side is minus; the shorter lead of a new one is minus.',
    mark: 'stripe',
    means: 'minus',
    isEndMark: true,
    body: 'aluminium can',
    source: 'makers',
  },
  'can, surface mount': {
    words: 'The coloured segment on top is minus.',
    mark: 'coloured segment',
    means: 'minus',
    isEndMark: true,
    body: 'aluminium can',
    source: 'makers',
  },
  'can, axial': {
    words: 'The arrows point to minus; the end with the groove round it is plus.',
    mark: 'arrows',
    means: 'minus',
    isEndMark: true,
    body: 'aluminium can',
    source: 'makers',
  },
  'tantalum chip': {
    words: 'The bar, or the bevelled edge, is plus.',
    mark: 'bar',
    means: 'plus',
    isEndMark: true,
    body: 'tantalum',
    source: 'makers',
  },
  'tantalum bead': {
    words: 'The plus sign or line, and the longer lead of a new one, is plus.',
    mark: 'plus sign',
    means: 'plus',
    isEndMark: true,
    body: 'tantalum',
    source: 'usual practice',
  },
  'diode, leaded': {
    words: 'The band is the cathode.',
    mark: 'band',
    means: 'cathode',
    isEndMark: true,
    body: 'diode',
    source: 'makers',
  },
  'diode, surface mount': {
    words: 'The band or groove is the cathode; so is the bar in the print on the board.',
    mark: 'band',
    means: 'cathode',
    isEndMark: true,
    body: 'diode',
    source: 'makers',
  },
  'lamp, leaded': {
    words: 'The flat of the rim is the cathode; the shorter lead of a new one is the cathode.',
    mark: 'flat',
    means: 'cathode',
    body: 'LED',
    source: 'usual practice',
  },
  'lamp, surface mount': {
    words:
      'The cathode is marked with green, a cut corner or a line, by maker; test it with the diode test first.',
    mark: 'mark',
    means: 'cathode',
    isEndMark: true,
    body: 'LED',
    source: 'usual practice',
  },
  bridge: {
    words: 'A bevelled corner or a plus sign is plus; the two middle or marked legs are AC.',
    mark: 'bevelled corner',
    means: 'plus',
    body: 'bridge rectifier',
    source: 'usual practice',
  },
  'three-leg tab': {
    words:
      'Print towards you, legs down, left to right usually G-D-S, B-C-E or A-K-A; the tab is the middle leg. The data sheet rules.',
    body: 'tab part',
    source: 'usual practice',
  },
  'two-leg tab': {
    words:
      'Print towards you, legs down, the cathode is usually on the left and joined to the tab. The data sheet rules.',
    body: 'tab part',
    source: 'usual practice',
  },
  'tab, surface mount': {
    words: 'It fits one way only: the wide tab goes on the wide pad.',
    body: 'tab part',
    source: 'usual practice',
  },
  'three-leg small': {
    words: 'It fits one way only: the single leg opposite the pair.',
    body: 'three-leg part',
    source: 'usual practice',
  },
  'three-leg round': {
    words: 'The flat face goes with the flat of the print; the order of the legs differs by type.',
    body: 'three-leg part',
    source: 'usual practice',
  },
  'in-line rows': {
    words: 'The dot or notch is at pin 1; pins count on anticlockwise, seen from above.',
    mark: 'dot or notch',
    means: 'pin 1',
    body: 'IC',
    source: 'usual practice',
  },
  'pins on four sides': {
    words: 'The dot or cut corner is at pin 1; pins count on anticlockwise, seen from above.',
    mark: 'dot',
    means: 'pin 1',
    body: 'IC',
    source: 'usual practice',
  },
  'pads underneath': {
    words: 'The dot is at pin 1; it hides its pads, so line it up with the print before heating.',
    mark: 'dot',
    means: 'pin 1',
    body: 'IC',
    source: 'usual practice',
  },
  'either way round': {
    words: 'Either way round.',
    body: 'part',
    source: 'usual practice',
  },
  'own pins': {
    words: 'Nothing general tells which way round: photograph it before it comes off.',
    body: 'part',
    source: 'usual practice',
  },
};
