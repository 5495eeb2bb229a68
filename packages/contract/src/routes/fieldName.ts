/** A path into a JSON value as one reads it: `stops[3].windows[0].from`; `the file` for the value itself. */
export function fieldName(path: readonly PropertyKey[]): string {
  let name = '';
  for (const part of path) {
    if (typeof part === 'number') name += `[${part}]`;
    else name += name === '' ? String(part) : `.${String(part)}`;
  }
  return name === '' ? 'the file' : name;
}
