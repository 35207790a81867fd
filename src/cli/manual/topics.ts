/** The pages of `help`: the README, section by section, so that there is one source. */
import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { PACKAGE_ROOT } from '../package-root.ts';
import { type Section, sectionsIn } from './markdown.ts';

export interface Topic {
  /** What is typed after `help`. */
  readonly name: string;
  readonly title: string;
  /** The section itself, then those of a lower level in it. */
  readonly sections: readonly Section[];
}

/** Topics with a handier name than their heading; none is the name of a command. */
const NAMES: Readonly<Record<string, string>> = {
  Start: 'guided',
  'What you type': 'notation',
  'From intake to sign-off': 'stages',
  'Your meter': 'meters',
  'A meter that answers by itself': 'link',
  'A board without a netlist': 'map-a-board',
  "Your shop's settings": 'settings',
  'Past boards': 'past-boards',
  'The board file': 'board-file',
  'The job record': 'record',
  'From code': 'library',
  'Other programs': 'programs',
  'Help and completion': 'shells',
};

/** Those of the package's own README. */
export function topics(root: string = PACKAGE_ROOT): Topic[] {
  return topicsIn(readFileSync(join(root, 'README.md'), 'utf8'));
}

/** One topic for each heading below the title; a section holds those under it as well. */
export function topicsIn(readme: string): Topic[] {
  const sections = sectionsIn(readme);
  return sections.flatMap((section, at) => {
    if (section.level < 2) return [];
    const after = sections.slice(at + 1);
    const end = after.findIndex(({ level }) => level <= section.level);
    const inside = end < 0 ? after : after.slice(0, end);
    const { title } = section;
    return [{ name: NAMES[title] ?? slug(title), title, sections: [section, ...inside] }];
  });
}

function slug(title: string): string {
  const words = title.toLowerCase().match(/[\p{L}\p{N}]+/gu) ?? [];
  return words.filter((word) => word !== 'the' && word !== 'your').join('-');
}
