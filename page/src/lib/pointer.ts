// JSON pointers (RFC 6901): read and write one place in a question without touching the original.
import type { Json } from './json';

function tokens(path: string): string[] {
  if (path === '') return [];
  return path
    .slice(1)
    .split('/')
    .map((token) => token.replaceAll('~1', '/').replaceAll('~0', '~'));
}

/** The value at `path`, or `undefined` where nothing is. */
export function read(root: unknown, path: string): Json | undefined {
  let here = root as Json | undefined;
  for (const token of tokens(path)) {
    if (Array.isArray(here)) here = here[Number(token)];
    else if (here !== null && typeof here === 'object') here = here[token];
    else return undefined;
  }
  return here;
}

/** A copy of `root` with `value` at `path`; objects on the way are made where they are missing. */
export function write<T>(root: T, path: string, value: Json): T {
  const steps = tokens(path);
  const put = (here: Json | undefined, depth: number): Json => {
    const token = steps[depth];
    if (token === undefined) return value;
    if (Array.isArray(here)) {
      const index = token === '-' ? here.length : Number(token);
      const copy = [...here];
      copy[index] = put(here[index], depth + 1);
      return copy;
    }
    const object = here !== null && typeof here === 'object' ? here : {};
    return { ...object, [token]: put(object[token], depth + 1) };
  };
  return put(root as Json, 0) as T;
}
