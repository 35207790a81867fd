/** Checks what a caller sent against the schema it is published with; as much of JSON Schema as those use. */
import type { Diagnostic } from '../../board/diagnostic.ts';
import { nearest } from '../../board/nearest.ts';
import { isObject } from './rpc.ts';
import type { Schema } from './schema/words.ts';

/** Everything wrong with a value; its place is a JSON Pointer (RFC 6901) in the message. */
export function checkParams(schema: Schema, value: unknown, pointer = ''): Diagnostic[] {
  if (Array.isArray(schema.anyOf))
    return checkAny(schema, schema.anyOf as Schema[], value, pointer);
  if (Array.isArray(schema.enum)) return checkEnum(schema.enum as string[], value, pointer);
  if ('const' in schema)
    return value === schema.const ? [] : misfit(pointer, `${schema.const}`, value);
  switch (schema.type) {
    case 'object':
      return isObject(value)
        ? checkFields(schema, value, pointer)
        : misfit(pointer, 'an object', value);
    case 'array':
      return Array.isArray(value)
        ? checkItems(schema, value, pointer)
        : misfit(pointer, 'a list', value);
    case 'string':
      return checkText(schema, value, pointer);
    case 'boolean':
      return typeof value === 'boolean' ? [] : misfit(pointer, 'true or false', value);
    default:
      return checkNumber(schema, value, pointer);
  }
}

function checkFields(
  { properties, required = [], additionalProperties }: Schema,
  value: Readonly<Record<string, unknown>>,
  pointer: string,
): Diagnostic[] {
  const known = (properties ?? {}) as Readonly<Record<string, Schema>>;
  const problems = Object.entries(value).flatMap(([key, inner]) => {
    const schema = Object.hasOwn(known, key) ? known[key] : undefined;
    const at = `${pointer}/${key.replaceAll('~', '~0').replaceAll('/', '~1')}`;
    if (schema !== undefined) return checkParams(schema, inner, at);
    return additionalProperties === false ? [unknownKey(key, pointer, Object.keys(known))] : [];
  });
  const missing = (required as string[]).filter((key) => !Object.hasOwn(value, key));
  return [...problems, ...missing.map((key) => fault(pointer, `"${key}" is missing`))];
}

function unknownKey(key: string, pointer: string, known: readonly string[]): Diagnostic {
  const meant = nearest(key, known);
  const hint = meant === undefined ? `known are ${known.join(', ')}` : `did you mean "${meant}"?`;
  return { ...fault(pointer, `"${clipped(key)}" is not known here`), hint };
}

function checkItems(
  { items, minItems, maxItems }: Schema,
  value: unknown[],
  pointer: string,
): Diagnostic[] {
  const [least, most] = [Number(minItems ?? 0), Number(maxItems ?? Number.POSITIVE_INFINITY)];
  if (value.length < least || value.length > most) {
    const asked =
      least === most ? `${least}` : most < Infinity ? `${least} to ${most}` : `at least ${least}`;
    return [fault(pointer, `a list of ${asked} is wanted, not of ${value.length}`)];
  }
  return value.flatMap((item, index) => checkParams(items as Schema, item, `${pointer}/${index}`));
}

/** A word that tells which of several objects is meant decides; else the kind of value. */
function checkAny(
  schema: Schema,
  options: Schema[],
  value: unknown,
  pointer: string,
): Diagnostic[] {
  const fits = options.filter((option) => isMeant(option, value));
  const [first] = fits;
  if (fits.length === 1 && first !== undefined) return checkParams(first, value, pointer);
  if (fits.some((option) => checkParams(option, value, pointer).length === 0)) return [];
  const words = options.flatMap((option) => wordOf(option) ?? []);
  if (isObject(value) && words.length > 0) return checkWord(words, value.do, pointer);
  return misfit(pointer, String(schema.description ?? 'something else'), value);
}

function checkWord(words: readonly string[], said: unknown, pointer: string): Diagnostic[] {
  const at = `${pointer}/do`;
  return said === undefined ? [fault(pointer, '"do" is missing')] : checkEnum(words, said, at);
}

function isMeant(option: Schema, value: unknown): boolean {
  const word = wordOf(option);
  if (word !== undefined) return isObject(value) && value.do === word;
  if (Array.isArray(option.enum)) return (option.enum as unknown[]).includes(value);
  if (option.type === 'object') return isObject(value);
  if (option.type === 'array') return Array.isArray(value);
  return option.type === 'integer' ? typeof value === 'number' : typeof value === option.type;
}

/** What `do` must be in an object, where the schema says so. */
function wordOf({ properties }: Schema): string | undefined {
  const word = (properties as Readonly<Record<string, Schema>> | undefined)?.do?.const;
  return typeof word === 'string' ? word : undefined;
}

function checkEnum(words: readonly string[], value: unknown, pointer: string): Diagnostic[] {
  if (words.includes(value as string)) return [];
  const meant = typeof value === 'string' ? nearest(value, words) : undefined;
  const hint =
    meant === undefined ? `it is one of ${words.join(', ')}` : `did you mean "${meant}"?`;
  return [{ ...fault(pointer, `${shown(value)} is none of the words known here`), hint }];
}

function checkText(
  { pattern, minLength, maxLength }: Schema,
  value: unknown,
  pointer: string,
): Diagnostic[] {
  if (typeof value !== 'string') return misfit(pointer, 'text', value);
  const isLong = value.length > Number(maxLength ?? Number.POSITIVE_INFINITY);
  if (isLong) return [fault(pointer, `the text is longer than ${maxLength} characters`)];
  if (value.length < Number(minLength ?? 0)) return [fault(pointer, 'the text is empty')];
  if (typeof pattern !== 'string' || new RegExp(pattern, 'u').test(value)) return [];
  return misfit(
    pointer,
    pattern === '^\\S+$' ? 'a name without blanks' : 'text on one line',
    value,
  );
}

function checkNumber(
  { type, minimum, maximum }: Schema,
  value: unknown,
  pointer: string,
): Diagnostic[] {
  const isWhole = type === 'integer';
  const fits = typeof value === 'number' && (!isWhole || Number.isSafeInteger(value));
  if (!fits) return misfit(pointer, isWhole ? 'a whole number' : 'a number', value);
  if (minimum !== undefined && value < Number(minimum))
    return [fault(pointer, `${value} is less than ${minimum}`)];
  if (maximum !== undefined && value > Number(maximum))
    return [fault(pointer, `${value} is more than ${maximum}`)];
  return [];
}

function misfit(pointer: string, wanted: string, value: unknown): Diagnostic[] {
  return [fault(pointer, `${wanted} is wanted, not ${shown(value)}`)];
}

function fault(pointer: string, message: string): Diagnostic {
  const where = pointer === '' ? 'params' : `params${clipped(pointer)}`;
  return { code: 'PARAMS', severity: 'error', message: `${where}: ${message}` };
}

function shown(value: unknown): string {
  if (Array.isArray(value)) return 'a list';
  if (isObject(value)) return 'an object';
  return clipped(JSON.stringify(value) ?? 'nothing');
}

function clipped(text: string): string {
  return text.length > 80 ? `${text.slice(0, 80)}…` : text;
}
