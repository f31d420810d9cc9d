/**
 * Looks of drawings and photos, for a page that has the colours `--paper`, `--ink`, `--soft`, `--line`,
 * `--panel`, `--bad`, `--tip-a`, `--tip-b`. Every colour stands beside a shape or a word.
 */
export const pictureStyle = `
.diagram { width: 100%; height: 100%; max-height: inherit; }
.diagram text { fill: var(--ink); font: 12px system-ui, sans-serif; }
.diagram .name { font-weight: 600; } .diagram .pad-name { font-weight: 700; }
.diagram .board { fill: var(--panel); stroke: var(--line); stroke-width: 1.5; } .diagram .board.fault { stroke: var(--bad); stroke-width: 4; }
.diagram .line { fill: none; stroke: var(--soft); stroke-width: 1.5; } .diagram .line.joint { stroke-dasharray: 5 4; }
.diagram .line.fault { stroke: var(--bad); stroke-width: 4; }
.diagram .point { fill: var(--soft); } .diagram .point.pad { fill: var(--paper); stroke: var(--ink); stroke-width: 1.5; }
.tip circle, .tip rect { stroke: var(--paper); stroke-width: 2; } .tip-a circle { fill: var(--tip-a); } .tip-b rect { fill: var(--tip-b); }
.photo .halo { fill: none; stroke: var(--paper); } .photo .frame { fill: none; } .photo .pointed-a .frame { stroke: var(--tip-a); } .photo .pointed-b .frame { stroke: var(--tip-b); }
.photo .fault-place circle { fill: none; stroke: var(--bad); } .photo .fault-place .halo { stroke: var(--paper); }
.diagram .tip text, .tip text { fill: var(--paper); font-weight: 700; font-size: 16px; }
`;
