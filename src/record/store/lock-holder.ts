import { readFileSync } from 'node:fs';
import { hostname } from 'node:os';
import { errnoOf } from '../../errors/errno.ts';

/** Who holds a record. */
export interface LockHolder {
  pid: number;
  host: string;
  /** When the lock was taken, ISO. */
  startedAt: string;
  /**
   * Tells two processes with one pid apart (boot and start time), where the system says so; else
   * null.
   */
  process: string | null;
}

/** The process that asks, and how it learns about others; tests put their own in its place. */
export interface LockSelf {
  pid: number;
  host: string;
  process: string | null;
  /** `gone`: no such process on this host. `other`: the pid now belongs to another process. */
  look(holder: LockHolder): 'alive' | 'gone' | 'other';
}

/** Returns this process as a lock holder. */
export function lockSelf(): LockSelf {
  return { pid: process.pid, host: hostname(), process: processToken(process.pid), look };
}

function look(holder: LockHolder): 'alive' | 'gone' | 'other' {
  try {
    process.kill(holder.pid, 0);
  } catch (error) {
    // EPERM: it lives and belongs to someone else
    if (errnoOf(error) === 'ESRCH') return 'gone';
  }
  const now = processToken(holder.pid);
  return now !== null && holder.process !== null && now !== holder.process ? 'other' : 'alive';
}

/**
 * Boot id and start time of a process (Linux: proc(5), field 22 of /proc/PID/stat); null where the
 * system has no such files.
 */
function processToken(pid: number): string | null {
  try {
    const boot = readFileSync('/proc/sys/kernel/random/boot_id', 'utf8').trim();
    const stat = readFileSync(`/proc/${pid}/stat`, 'utf8');
    // the command name in field 2 may hold blanks and brackets
    const fields = stat.slice(stat.lastIndexOf(')') + 2).split(' ');
    return `${boot}:${fields[19]}`;
  } catch {
    return null;
  }
}
