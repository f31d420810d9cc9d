/**
 * Type of a field in the message table: little-endian whole numbers, or a list that takes the rest
 * of the body.
 */
type FieldType = 'u8' | 'u16' | 'u32' | 'bytes' | 'u16s';
/** A field of a message: its name and type. */
type Field = readonly [string, FieldType];
/** Fields of a body in the order of the wire; a list, if any, comes last. */
export type FieldList = readonly Field[];

/** What a field holds in TypeScript. */
type FieldValue<T> = T extends 'bytes' ? Uint8Array : T extends 'u16s' ? Uint16Array : number;
/** The body that a field list describes. */
export type Body<F extends FieldList> = { [E in F[number] as E[0]]: FieldValue<E[1]> };

type AnyValue = number | Uint8Array | Uint16Array;

const widths = { u8: 1, u16: 2, u32: 4 } as const;

/**
 * Returns the bytes of a body. @throws RangeError when a number does not fit its field: a fault of
 * the caller
 */
export function encodeBody(fields: FieldList, values: Readonly<Record<string, unknown>>): number[] {
  const out: number[] = [];
  for (const [name, type] of fields) {
    const value = values[name];
    if (type === 'bytes' || type === 'u16s') {
      if (!(value instanceof Uint8Array || value instanceof Uint16Array))
        throw new RangeError(`${name} is no list of numbers`);
      for (const one of value) pushNumber(out, one, type === 'bytes' ? 1 : 2);
    } else {
      const width = widths[type];
      if (typeof value !== 'number' || !Number.isInteger(value) || value < 0 || value >= 2 ** (8 * width))
        throw new RangeError(`${name} does not fit ${type}: ${String(value)}`);
      pushNumber(out, value, width);
    }
  }
  return out;
}

function pushNumber(out: number[], value: number, width: number): void {
  for (let i = 0; i < width; i++) out.push(Math.floor(value / 2 ** (8 * i)) & 0xff);
}

/**
 * Returns the body that begins at `offset`, or null when it is too short for its fields (or ends
 * within a u16 of a list). Bytes beyond the last field are ignored: a newer minor version may have
 * appended fields.
 */
export function decodeBody<F extends FieldList>(fields: F, bytes: Uint8Array, offset: number): Body<F> | null {
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  const body: Record<string, AnyValue> = {};
  let at = offset;
  for (const [name, type] of fields) {
    if (type === 'bytes') {
      body[name] = bytes.slice(at);
      at = bytes.length;
    } else if (type === 'u16s') {
      if ((bytes.length - at) % 2 !== 0) return null;
      body[name] = Uint16Array.from({ length: (bytes.length - at) / 2 }, (_, i) => view.getUint16(at + 2 * i, true));
      at = bytes.length;
    } else {
      if (at + widths[type] > bytes.length) return null;
      body[name] = readNumber(view, at, type);
      at += widths[type];
    }
  }
  return body as Body<F>;
}

function readNumber(view: DataView, at: number, type: 'u8' | 'u16' | 'u32'): number {
  if (type === 'u8') return view.getUint8(at);
  return type === 'u16' ? view.getUint16(at, true) : view.getUint32(at, true);
}
