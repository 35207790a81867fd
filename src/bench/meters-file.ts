/**
 * The catalogue of meters. The same way leads from the source, the compiled and the bundled file to
 * where the build puts it.
 */
export const METERS_FILE: URL = new URL('../circuit/meters.yaml', import.meta.url);
