import { findProbes, type PortFinding } from '../../link/probe/find-probes.ts';
import { listPorts, type PortInfo } from '../../link/serial/ports.ts';
import { serialText } from '../../protocol/probe-serial.ts';
import { type Context, printJson } from '../program/context.ts';
import { exitCodes } from '../program/exit-codes.ts';

/**
 * `probes`: says what is on each port, or on the ports named; exit code 4 when there is no probe.
 */
export async function probes(
  named: string[],
  options: { json: boolean },
  { terminal, signal }: Context,
): Promise<number> {
  const listed = await listPorts();
  const ports =
    named.length === 0 ? listed : named.map((path) => listed.find((p) => p.path === path) ?? unlisted(path));
  const findings = await findProbes({ ports, signal });
  if (options.json) printJson(terminal, findings);
  else {
    for (const finding of findings) terminal.out(findingText(finding));
    if (findings.length === 0) {
      terminal.say(
        'The system lists no serial port. Plug the probe in; a pseudo-terminal is never listed, so name it: probes PATH.',
      );
    }
  }
  return findings.some((f) => f.state === 'probe') ? exitCodes.passed : exitCodes.port;
}

function findingText(finding: PortFinding): string {
  const { port } = finding;
  if (finding.state !== 'probe') return `${port.path}: ${finding.why} ${finding.help}`;
  const { probeSerial, fwMajor, fwMinor, protoMajor, protoMinor, capabilities } = finding.identity;
  return `${port.path}: probe ${serialText(probeSerial)}, firmware ${fwMajor}.${fwMinor}, protocol ${protoMajor}.${protoMinor}; ${capabilities.join(', ')}`;
}

function unlisted(path: string): PortInfo {
  return { path, vendorId: null, productId: null, serialNumber: null, manufacturer: null, twin: null };
}
