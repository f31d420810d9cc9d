import { create } from 'xmlbuilder2';

/** What is wrong with a drawing. */
interface SvgProblem {
  code:
    | 'file.picture-xml'
    | 'file.picture-size'
    | 'file.picture-script'
    | 'file.picture-foreign'
    | 'file.picture-outside';
  why: string;
}

export type LookedAtSvg = { ok: true; width: number; height: number } | ({ ok: false } & SvgProblem);

/** What this looks at of a node of the document. */
interface XmlNode {
  nodeType: number;
  nodeName: string;
  localName?: string;
  namespaceURI?: string | null;
  nodeValue: string | null;
  attributes?: Iterable<{ name: string; value: string }>;
  firstChild: XmlNode | null;
  nextSibling: XmlNode | null;
  getAttribute?(name: string): string | null;
}

const element = 1;
const instruction = 7;
const svgNamespace = 'http://www.w3.org/2000/svg';
const rdfNamespace = 'http://www.w3.org/1999/02/22-rdf-syntax-ns#';

/** Elements that draw, and nothing else: no script, no HTML inside, no links, nothing that moves. */
const drawing = new Set(
  `svg g defs symbol use title desc metadata style switch view
   path rect circle ellipse line polyline polygon text tspan textPath image marker
   linearGradient radialGradient stop pattern clipPath mask filter`.split(/\s+/),
);
/** A more than picturesque drawing costs a browser its breath. */
const mostElements = 50_000;

/**
 * Looks whether a drawing (SVG 2) only draws: nothing in it runs, and nothing is fetched from
 * elsewhere. Elements and references that are not known to be harmless are refused.
 */
export function lookAtSvg(text: string): LookedAtSvg {
  if (/<!(?:DOCTYPE|ENTITY)/i.test(text)) return bad('file.picture-xml', 'it declares a document type');
  let root: XmlNode;
  try {
    root = create(text).node as unknown as XmlNode;
  } catch {
    return bad('file.picture-xml', 'it is not well-formed XML');
  }
  let svg: XmlNode | null = null;
  let count = 0;
  const open: XmlNode[] = childrenOf(root);
  for (let node = open.pop(); node !== undefined; node = open.pop()) {
    const problem = problemOf(node);
    if (problem !== null) return { ok: false, ...problem };
    if (node.nodeType !== element) continue;
    count += 1;
    if (count > mostElements) return bad('file.picture-size', `it has more than ${mostElements} elements`);
    svg ??= node;
    for (const child of childrenOf(node)) open.push(child);
  }
  const size = svg?.localName === 'svg' && svg.namespaceURI === svgNamespace ? sizeOf(svg) : null;
  if (size === null) return bad('file.picture-size', 'it says neither a viewBox nor its width and height');
  return { ok: true, ...size };
}

function bad(code: SvgProblem['code'], why: string): { ok: false } & SvgProblem {
  return { ok: false, code, why };
}

function childrenOf(node: XmlNode): XmlNode[] {
  const children: XmlNode[] = [];
  for (let child = node.firstChild; child !== null; child = child.nextSibling) children.push(child);
  return children;
}

function problemOf(node: XmlNode): SvgProblem | null {
  if (node.nodeType === instruction) {
    return { code: 'file.picture-outside', why: `it asks for something beside it (<?${node.nodeName}?>)` };
  }
  if (node.nodeType !== element) return null;
  const { localName = node.nodeName, namespaceURI: namespace } = node;
  const isSvg = namespace === svgNamespace;
  if (/^(?:script|handler|listener)$/i.test(localName))
    return { code: 'file.picture-script', why: 'it has a script in it' };
  if (isSvg ? !drawing.has(localName) && !/^fe[A-Z]/.test(localName) : isActive(namespace)) {
    return { code: 'file.picture-foreign', why: `it holds <${node.nodeName}>, which is no part of a drawing` };
  }
  for (const attribute of node.attributes ?? []) {
    const problem = attributeProblem(attribute);
    if (problem !== null) return problem;
  }
  const css =
    localName === 'style'
      ? childrenOf(node)
          .map(({ nodeValue }) => nodeValue ?? '')
          .join('')
      : '';
  return isOutside(css) ? { code: 'file.picture-outside', why: 'its style asks for something beside it' } : null;
}

/** Drawing programs leave notes in namespaces of their own; those of W3C may do something. */
function isActive(namespace: string | null | undefined): boolean {
  return namespace == null || (/^http:\/\/www\.w3\.org\//.test(namespace) && namespace !== rdfNamespace);
}

function attributeProblem({ name, value }: { name: string; value: string }): SvgProblem | null {
  const localName = name.split(':').at(-1)!;
  if (/^on/i.test(localName) || /^\s*javascript:/i.test(value)) {
    return { code: 'file.picture-script', why: `it has a script in it (${name})` };
  }
  const refers = /^(?:href|src|base)$/i.test(localName);
  if (refers && !/^\s*(?:#|data:image\/(?:png|jpeg|webp);base64,)/i.test(value)) {
    return { code: 'file.picture-outside', why: `it asks for something beside it (${name})` };
  }
  if (refers || !isOutside(value)) return null;
  return { code: 'file.picture-outside', why: `it asks for something beside it (${name})` };
}

/** CSS that names anything but a part of the drawing; an escape might hide one. */
function isOutside(css: string): boolean {
  if (/@import|image-set\(|\bsrc\(|\\/i.test(css)) return true;
  return [...css.matchAll(/url\(\s*(['"]?)\s*([^)]*)/gi)].some(([, , target = '']) => !target.startsWith('#'));
}

function sizeOf(svg: XmlNode): { width: number; height: number } | null {
  const box = (svg.getAttribute?.('viewBox') ?? '')
    .trim()
    .split(/[\s,]+/)
    .map(Number);
  const plain = (name: string): number =>
    Number(/^\s*(\d+(?:\.\d+)?)(?:px)?\s*$/.exec(svg.getAttribute?.(name) ?? '')?.[1]);
  const [width, height] = box.length === 4 ? [box[2]!, box[3]!] : [plain('width'), plain('height')];
  return width > 0 && height > 0 && Number.isFinite(width * height) ? { width, height } : null;
}
