import type { Board } from '../../board/model.ts';
import { harmless } from '../../board/shown-text.ts';
import type { Look } from '../../faults/evidence.ts';
import type { Photo } from '../../job/bench-log.ts';
import type { DerivedJob } from '../../job/derive.ts';
import { workStages } from '../../job/stage-of.ts';
import { netName, partName, pinName } from '../names.ts';

/** Whether the picture of a photo could be put on the sheet. */
export type PhotoState = 'there' | 'missing' | 'too large' | 'no picture' | 'outside';

/** What arrived: the words of the intake, what was seen, the photos. */
export interface ArrivalView {
  readonly customer: readonly string[];
  readonly arrived: readonly string[];
  readonly markings: readonly string[];
  readonly looks: readonly { readonly event: number; readonly text: string }[];
  readonly photos: readonly PhotoView[];
}

export interface PhotoView {
  /** As the job names it. */
  readonly file: string;
  readonly state: PhotoState;
  /** What it shows, and why it is only named where it is. */
  readonly text: string;
}

const STATE_TEXT: Readonly<Record<PhotoState, string>> = {
  there: '',
  missing: ' (not there when the sheet was made)',
  'too large': ' (too large to be put on the sheet)',
  'no picture': ' (no PNG, JPEG, WebP or GIF picture)',
  outside: ' (outside the folder of the job, left alone)',
};

export function viewArrival(
  board: Board,
  job: DerivedJob,
  stateOf: (file: string) => PhotoState,
): ArrivalView {
  const { customer, arrived, marking, photos } = job.intake;
  const words = (list: typeof customer): string[] => list.map(({ text }) => harmless(text));
  return {
    customer: words(customer),
    arrived: words(arrived),
    markings: words(marking),
    looks: seenAt(board, job, true),
    photos: photos.map((photo) => viewPhoto(board, photo, stateOf(photo.file))),
  };
}

/** What eyes found before the repair, or after it. */
export function seenAt(
  board: Board,
  job: DerivedJob,
  beforeRepair: boolean,
): { readonly event: number; readonly text: string }[] {
  const stages = workStages(job);
  return (
    job.evidence.looks
      // What a current warmed is told with the current.
      .filter(({ finding }) => finding !== 'warm')
      .filter(({ id }) => (stages.get(id) === 'look-over') === beforeRepair)
      .map((look) => ({ event: look.id, text: lookText(board, look) }))
  );
}

function viewPhoto(board: Board, photo: Photo, state: PhotoState): PhotoView {
  const { file, part, pin, text } = photo;
  const place =
    pin !== undefined ? pinName(board, pin) : part === undefined ? '' : partName(board, part);
  const of = [place, harmless(text ?? '')].filter(Boolean).join(', ');
  return {
    file,
    state,
    text: `${harmless(file)}${of === '' ? '' : `: ${of}`}${STATE_TEXT[state]}`,
  };
}

/** `Q3 burnt`, `Q3.D off its pad`, `P48 and GND: looks sound between`. */
export function lookText(board: Board, { part, pin, nets, finding }: Look): string {
  if (nets !== undefined) {
    const names = nets.map((net) => netName(board, net));
    return `between ${names.join(' and ')}: ${finding}`;
  }
  const place = pin === undefined ? partName(board, part ?? -1) : pinName(board, pin);
  return `${place}: ${finding}`;
}
