import { closeSync, openSync, readdirSync, readSync } from 'node:fs';
import { join, relative } from 'node:path';

/** Folders deeper than this below the one asked for are not a shelf any more. */
const MOST_DEPTH = 12;

/** YAML files of a folder by name, as seen from where the command runs; none when it cannot be read. */
export function yamlIn(folder: string): string[] {
  return yamlNames(folder).map((name) => relative('.', join(folder, name)));
}

/** The same as seen from the folder itself. */
export function yamlNames(folder: string): string[] {
  try {
    return readdirSync(folder)
      .filter((name) => /\.ya?ml$/i.test(name))
      .sort();
  } catch {
    return [];
  }
}

/** A job's first line is its opening event. */
export function isJob(path: string): boolean {
  return /^- \{n: 1, at: .*open: \{/.test(headOf(path));
}

/** It begins as a job does, whole or damaged. */
export function looksLikeJob(path: string): boolean {
  return /^\s*(?:#.*\n\s*)*- \{n: ?\d/.test(headOf(path));
}

export function isBoard(path: string): boolean {
  return /^(board|parts):/m.test(headOf(path));
}

/** The folder and, when asked for, all below it; hidden ones, packages and links to others left out. */
export function foldersIn(folder: string, isDeep: boolean): string[] {
  const folders: string[] = [];
  const visit = (path: string, depth: number): void => {
    folders.push(path);
    if (!isDeep || depth >= MOST_DEPTH) return;
    for (const name of subfolders(path)) visit(join(path, name), depth + 1);
  };
  visit(folder, 0);
  return folders;
}

function subfolders(path: string): string[] {
  try {
    return readdirSync(path, { withFileTypes: true })
      .filter((entry) => entry.isDirectory() && !/^\.|^node_modules$/.test(entry.name))
      .map(({ name }) => name)
      .sort();
  } catch {
    return [];
  }
}

/** The beginning of a file; empty when it cannot be read. */
function headOf(path: string): string {
  try {
    const handle = openSync(path, 'r');
    try {
      const bytes = Buffer.alloc(2048);
      return bytes.toString('utf8', 0, readSync(handle, bytes, 0, bytes.length, 0));
    } finally {
      closeSync(handle);
    }
  } catch {
    return '';
  }
}
