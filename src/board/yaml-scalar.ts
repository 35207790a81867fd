/** A text as it stands in a board file: plain where YAML takes it for the same text, else in double quotes. */
export function yamlScalar(text: string): string {
  const isPlain =
    /^[A-Za-z_](?:[A-Za-z0-9_/+().\- ]*[A-Za-z0-9_/+().-])?$/.test(text) ||
    /^[1-9]\d{0,3}$/.test(text);
  const isWord = /^(true|false|null|yes|no|on|off|y|n)$/i.test(text);
  return isPlain && !isWord ? text : JSON.stringify(text);
}
