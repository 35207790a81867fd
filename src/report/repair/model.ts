/** The repair list in names: what is shown on a screen and a sheet, and what `--json` prints. */
import type { JobPurpose } from '../../job/event-line.ts';
import type { MendItem, Need, Reason } from '../../job/repair/model.ts';
import type { Family } from '../../job/repair/package-family.ts';
import type { TickItem } from '../../job/say.ts';

export interface RepairView {
  readonly board: string;
  readonly purpose: JobPurpose;
  /** Parts to be renewed, those of them that are, and parts worth having in case. */
  readonly counts: {
    readonly renew: number;
    readonly fitted: number;
    readonly inCase: number;
    readonly goBack: number;
    /** Of those to be renewed: those that nothing but a refurbishment asks for. */
    readonly due: number;
  };
  /** One entry for each thing to order. */
  readonly get: readonly OrderView[];
  /** The same for parts that are only suspected, or to be tested. */
  readonly inCase: readonly OrderView[];
  /** Insulators for tabs that are still to be fastened, by package. */
  readonly insulators: readonly InsulatorView[];
  /** To be put right without a new part. */
  readonly mend: readonly MendView[];
  readonly pull: PullView;
  readonly fit: FitView;
  /** Readings of a part from another board, before it is used. */
  readonly donors: readonly DonorView[];
}

export interface InsulatorView {
  readonly package: string;
  readonly between?: 'pad' | 'mica';
  readonly quantity: number;
}

/** One thing to order, and the places it is for. */
export interface OrderView {
  readonly partNumber?: string;
  /** `n-channel MOSFET, 100 V`. */
  readonly what: string;
  readonly package?: string;
  /** What the board file does not tell of it. */
  readonly missing: readonly string[];
  /** Places listed; `fitted` and `ordered` of them are, `stay` were tested and stay. */
  readonly quantity: number;
  readonly fitted: number;
  readonly ordered: number;
  readonly stay: number;
  /** What is left to get. */
  readonly toGet: number;
  /**
   * How many of those to get will be needed, by their weights; a bank that is renewed as a set
   * counts whole. Equal to `toGet` where the need is sure.
   */
  readonly likely: number;
  readonly parts: readonly OrderPartView[];
  /** Why only a new one will do. */
  readonly newOnly?: string;
  /** A controller that holds a program, which a new one lacks. */
  readonly mayHoldProgram: boolean;
}

export interface OrderPartView {
  readonly part: string;
  readonly need: Need;
  readonly state: 'to get' | 'ordered' | 'fitted' | 'tested, stays';
  /** Event that fitted it. */
  readonly fittedAt?: number;
  /** 0–1: chance that the piece there now has failed. */
  readonly weight: number;
  /** Parts nothing tells it apart from, itself included. */
  readonly alike: readonly string[];
  readonly why: readonly { readonly why: Reason['why']; readonly text: string }[];
}

export interface MendView {
  readonly what: MendItem['what'];
  /** `joint Q3.D: heat it again with fresh solder`. */
  readonly text: string;
  readonly weight: number;
  readonly seenAt?: number;
}

export interface PullView {
  readonly groups: readonly PullGroupView[];
  /** Rows of the tray; look-alikes never share one. */
  readonly rows: readonly TrayRowView[];
  readonly lookAlikes: readonly LookAlikeView[];
  /** Parts without a package: look-alikes among them cannot be told. */
  readonly withoutPackage: readonly string[];
  /** Marks that mean opposite ends on parts handled together; empty when none do. */
  readonly opposed: readonly ConventionView[];
}

export interface PullGroupView {
  readonly what: 'heatsink' | 'leaded' | 'tall' | 'surface' | 'not known';
  readonly heatsink?: string;
  readonly side?: 'top' | 'bottom';
  /** Parts that stay on the heatsink. */
  readonly staying: readonly string[];
  readonly parts: readonly PullPartView[];
}

export interface PullPartView {
  readonly part: string;
  /** Place of the tray, `3b`: third row, second place. */
  readonly place: string;
  readonly isOff: boolean;
  /** It goes back as it is. */
  readonly goesBack: boolean;
  /** An eye found it missing: there is nothing to take off. */
  readonly isMissing: boolean;
  /** Position, mm. */
  readonly at?: readonly [number, number];
  /** Legs in holes; absent where the board file does not tell. */
  readonly holes?: number;
  /** Pins on large copper, `Q1.D`. */
  readonly bigCopper: readonly string[];
  readonly way: HeatWayView;
}

export type HeatWayView =
  | 'leads'
  | 'two ends'
  | 'legs in rows'
  | 'pad underneath'
  | 'balls underneath'
  | 'not known';

export interface TrayRowView {
  /** From 1. */
  readonly row: number;
  readonly what: string;
  readonly parts: readonly string[];
}

export interface LookAlikeView {
  readonly package: string;
  /** Ceramic chips among them: nothing is printed on those. */
  readonly hasNoPrint: boolean;
  readonly groups: readonly { readonly what: string; readonly parts: readonly string[] }[];
}

export interface ConventionView {
  readonly body: string;
  readonly mark: string;
  readonly means: 'minus' | 'plus' | 'cathode' | 'pin 1';
  readonly parts: readonly string[];
}

export interface FitView {
  readonly groups: readonly FitGroupView[];
  /** Legs in the air on parts that stay: `Q3.D`. */
  readonly lifted: readonly string[];
  readonly sets: readonly MatchedView[];
  /** Families met, for their drawings, with the parts of each. */
  readonly families: readonly FamilyView[];
  /** Dangerous voltage when powered: tabs want an insulation test as well. */
  readonly hasMains: boolean;
}

export interface FitGroupView {
  readonly what: PullGroupView['what'];
  readonly heatsink?: string;
  readonly side?: 'top' | 'bottom';
  readonly parts: readonly FitPartView[];
}

export interface FitPartView {
  readonly part: string;
  /** `IRFP4110, n-channel MOSFET, 100 V, TO-247`. */
  readonly what: string;
  readonly isNew: boolean;
  readonly isFitted: boolean;
  readonly fittedAt?: number;
  /** Which pin goes where: `stripe (minus) to GND`, `plus to P48`; empty when either way will do. */
  readonly ends: readonly string[];
  readonly isEitherWay: boolean;
  readonly family: Family;
  /** How the board file says it is marked. */
  readonly boardMark?: string;
  /** That is not how such bodies are usually marked. */
  readonly markDisagrees: boolean;
  readonly holes?: number;
  readonly fastening?: FasteningView;
  readonly boxes: readonly BoxView[];
}

export interface FasteningView {
  readonly heatsink: string;
  /** The part's package, or what kind of part it is where that is not known. */
  readonly package: string;
  readonly insulator: 'needed' | 'in the body' | 'same net' | 'as found';
  readonly between?: 'pad' | 'mica';
  /** `Q1.D`. */
  readonly tab?: string;
  /** N·m. */
  readonly torque?: {
    /** Package, or part, that it holds for. */
    readonly of: string;
    readonly screw?: string;
    readonly from: number;
    readonly to: number;
    readonly most?: number;
    readonly source: string;
  };
  /** Last reading of the tab against the heatsink: `OL`, `20 MΩ`. */
  readonly isolation?: string;
  readonly isolationFails: boolean;
}

/** One box to tick off. */
export interface BoxView {
  readonly item: TickItem | 'isolation' | 'fitted';
  readonly isTicked: boolean;
  readonly event?: number;
  /** The line that ticks it. */
  readonly say: string;
}

export interface MatchedView {
  readonly bank?: string;
  readonly fitted: readonly string[];
  readonly staying: readonly string[];
  readonly gateResistors: readonly string[];
  readonly gateResistorsDiffer: boolean;
}

export interface FamilyView {
  readonly family: Family;
  readonly words: string;
  readonly source: 'makers' | 'usual practice';
  readonly parts: readonly string[];
}

export interface DonorView {
  readonly what: string;
  readonly parts: readonly string[];
  /** `D to S`, `OL`. */
  readonly readings: readonly {
    readonly red: string;
    readonly black: string;
    readonly shows: string;
  }[];
}
