/** The repair list as text: what to get, what comes off, what goes on. */
import type { Style } from '../style.ts';
import { counted, listOf, percent } from '../words.ts';
import { labelled, wrap } from '../wrap.ts';
import { fitLines } from './fit-lines.ts';
import { heatLines } from './heat-lines.ts';
import type { DonorView, RepairView } from './model.ts';
import { inCaseLines, orderLines } from './order-lines.ts';
import { pullLines } from './pull-lines.ts';

/** The whole list; a blank line before each section. */
export function repairLines(view: RepairView, style: Style): string[] {
  const head = wrap(`Repair list of ${view.board} (${view.purpose})`, style.width);
  const sections = [
    orderLines(view, style),
    inCaseLines(view.inCase, style),
    mendLines(view, style),
    pullLines(view.pull, style),
    fitLines(view.fit, style),
    heatLines(view, style),
    donorLines(view.donors, style),
  ];
  return [
    ...head.map(style.palette.strong),
    ...wrap(summary(view), style.width),
    ...sections.flatMap((lines) => (lines.length === 0 ? [] : ['', ...lines])),
  ];
}

function summary({ counts, mend }: RepairView): string {
  const { renew, fitted, inCase, goBack, due } = counts;
  if (renew + inCase + goBack + mend.length === 0) {
    return 'Nothing is to be renewed, as far as the readings and looks so far tell.';
  }
  const texts = [
    renew === 0 ? 'No part is sure to be renewed yet' : `${counted(renew, 'part')} to renew`,
    ...(due > 0 ? [`${due} of them due with age, not failed`] : []),
    ...(fitted > 0 ? [`${fitted} of them fitted`] : []),
    ...(goBack > 0 ? [`${counted(goBack, 'part')} off the board to go back`] : []),
    ...(inCase > 0 ? [`${counted(inCase, 'part')} in case`] : []),
  ];
  return `${texts.join(', ')}.`;
}

function mendLines({ mend }: RepairView, style: Style): string[] {
  if (mend.length === 0) return [];
  const lines = mend.flatMap(({ text, weight, seenAt }) => {
    const why = seenAt === undefined ? percent(weight) : `seen in event ${seenAt}`;
    return labelled('  -', `${text} (${why})`, 4, style.width);
  });
  return [style.palette.strong('Without a new part'), ...lines];
}

/** Shown for things that another board may give. */
function donorLines(donors: readonly DonorView[], style: Style): string[] {
  if (donors.length === 0) return [];
  const lines = donors.flatMap(({ what, readings }) => {
    const shown = readings.map(({ red, black, shows }) => `${red} to ${black} ${shows}`);
    return labelled('  -', `${what}: ${listOf(shown, 8)}`, 4, style.width);
  });
  return [
    style.palette.strong('A part from another board'),
    ...wrap(
      'Test it on the bench, on its own legs, before it goes in; then take old solder off its legs, ' +
        'clean it, and look for cracks. Red point first:',
      style.width,
    ),
    ...lines,
  ];
}
