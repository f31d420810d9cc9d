/** Type of a field in a body: little-endian numbers, or a list that fills the rest of the body. */
export type FieldType = 'u8' | 'u16' | 'u32' | 'bytes' | 'u16s';
export type FieldList = readonly (readonly [string, FieldType])[];

type ValueOf<T extends FieldType> = T extends 'bytes' ? Uint8Array : T extends 'u16s' ? Uint16Array : number;
/** The object type of a field list. */
export type FieldsOf<L extends FieldList> = { -readonly [F in L[number] as F[0]]: ValueOf<F[1]> };

const size = { u8: 1, u16: 2, u32: 4 } as const;
const most = { u8: 0xff, u16: 0xffff, u32: 0xffffffff } as const;

/** Appends the fields of `values` to `out`. @throws RangeError for a number that its field does not hold */
export function encodeFields(list: FieldList, values: Record<string, unknown>, out: number[]): void {
  for (const [name, type] of list) {
    const value = values[name];
    if (type === 'bytes') out.push(...(value as Uint8Array));
    else if (type === 'u16s') for (const item of value as Uint16Array) out.push(item & 0xff, item >> 8);
    else {
      const number = value as number;
      if (!Number.isInteger(number) || number < 0 || number > most[type]) {
        throw new RangeError(`${name} takes a whole number from 0 to ${most[type]}, not ${number}`);
      }
      for (let i = 0; i < size[type]; i++) out.push(Math.floor(number / 2 ** (8 * i)) & 0xff);
    }
  }
}

/**
 * Returns the fields of a body from `at` on, or null when it is too short. Bytes after the last field are passed over: a newer
 * minor version may add fields.
 */
export function decodeFields(list: FieldList, body: Uint8Array, at: number): Record<string, unknown> | null {
  const values: Record<string, unknown> = {};
  let next = at;
  for (const [name, type] of list) {
    if (type === 'bytes') {
      values[name] = body.slice(next);
      next = body.length;
    } else if (type === 'u16s') {
      const count = (body.length - next) >> 1;
      if (next + 2 * count !== body.length) return null;
      const items = new Uint16Array(count);
      for (let i = 0; i < count; i++) items[i] = body[next + 2 * i]! | (body[next + 2 * i + 1]! << 8);
      values[name] = items;
      next = body.length;
    } else {
      if (next + size[type] > body.length) return null;
      let number = 0;
      for (let i = 0; i < size[type]; i++) number += body[next + i]! * 2 ** (8 * i);
      values[name] = number;
      next += size[type];
    }
  }
  return values;
}
