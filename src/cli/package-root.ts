import { fileURLToPath } from 'node:url';

/** Folder of the installed package: two above this file, as source, as built, and as bundled. */
export const PACKAGE_ROOT: string = fileURLToPath(new URL('../../', import.meta.url));
