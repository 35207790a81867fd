import { printAnswer, type Question } from '../board/skeletons/question.ts';
import type { Skeleton } from '../board/skeletons/skeleton.ts';
import { questionsOf } from '../board/skeletons/skeleton-board.ts';
import type { Style } from './style.ts';
import { labelled, wrap } from './wrap.ts';

/** A stage that a board can be made from, with its settings. */
export interface SkeletonView {
  readonly name: string;
  readonly title: string;
  readonly summary: string;
  readonly settings: readonly {
    readonly name: string;
    readonly asks: string;
    /** What may be typed. */
    readonly takes: string;
    readonly usual: string;
  }[];
}

/** What a skeleton asks, with its usual answers. */
export function viewSkeleton(stage: Skeleton): SkeletonView {
  return {
    name: stage.name,
    title: stage.title,
    summary: stage.summary,
    settings: questionsOf(stage).map((question) => ({
      name: question.name,
      asks: question.ask.replace(/:$/, ''),
      takes: takes(question),
      usual: printAnswer(question.usual),
    })),
  };
}

function takes(question: Question): string {
  switch (question.is) {
    case 'count':
      return `${question.least} to ${question.most}`;
    case 'volts':
      return `up to ${question.most} V`;
    case 'volts-list':
      return 'voltages';
    case 'yes-or-no':
      return 'yes, no';
    case 'choice':
      return question.words.join(', ');
    case 'designators':
      return 'designators';
    case 'text':
      return 'text';
  }
}

const INDENT = 4;
const WIDE = 18;

/** What a skeleton asks, as lines of text. */
export function skeletonLines(stages: readonly SkeletonView[], style: Style): string[] {
  return stages.flatMap((stage, i) => [
    ...(i === 0 ? [] : ['']),
    ...wrap(`${stage.name}: ${stage.summary}`, style.width).map(style.palette.strong),
    ...stage.settings.flatMap(({ name, asks, takes: what, usual }) =>
      labelled(
        `${' '.repeat(INDENT)}${name}`,
        `${asks} (${what}; usual: ${usual})`,
        WIDE,
        style.width,
      ),
    ),
  ]);
}
