import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import type { CommandSpec } from '../commands.ts';
import { PACKAGE_ROOT } from '../package-root.ts';
import { manPage } from './man.ts';
import { sectionsIn } from './markdown.ts';
import { topics } from './topics.ts';

/** The manual page of this package, as it is built into it and as `help --man` prints it. */
export function manual(commands: readonly CommandSpec[], root: string = PACKAGE_ROOT): string {
  const { version } = JSON.parse(readFileSync(join(root, 'package.json'), 'utf8')) as {
    version: string;
  };
  const [about] = sectionsIn(readFileSync(join(root, 'README.md'), 'utf8'));
  const texts = (about?.blocks ?? []).flatMap((block) =>
    block.kind === 'text' ? [block.text] : [],
  );
  return manPage(version, commands, texts, topics(root));
}
