import type { Guide } from '../../guide/types.ts';
import { canonicalJson } from '../../record/chain/canonical.ts';
import type { EntryOf } from '../../record/entries/entries.ts';
import type { Say } from '../finding.ts';

/**
 * Tells where an opening says something else than the guide in it: its name, its checks, the
 * device, the revision it holds for.
 */
export function verifyOpening(
  { guide: stored, device, revision, pictures }: EntryOf<'opened'>,
  guide: Guide,
  say: Say,
): void {
  if (stored.id !== guide.id || stored.title !== guide.title) {
    say('opened.guide', `the guide in this record is '${guide.title}' (${guide.id}), the opening names another`, {
      stands: { id: stored.id, title: stored.title },
      due: { id: guide.id, title: guide.title },
    });
  }
  const checks = guide.checks.map(({ id, title, kind }) => ({ id, title, kind }));
  if (canonicalJson(checks) !== canonicalJson(stored.checks)) {
    say('opened.checks', 'the checks in the opening are not those of the guide beside them', {
      stands: stored.checks,
      due: checks,
    });
  }
  const due = guide.pictures.map(({ id }) => id);
  const listed = (pictures ?? []).map(({ id }) => id);
  if (canonicalJson(listed) !== canonicalJson(due)) {
    say('opened.pictures', 'the pictures in the opening are not those of the guide beside them', {
      stands: listed,
      due,
    });
  }
  if (device.maker !== guide.device.maker || device.name !== guide.device.name) {
    const { maker, name } = guide.device;
    say('opened.device', `the guide is for ${maker} ${name}, the opening names ${device.maker} ${device.name}`, {
      stands: { maker: device.maker, name: device.name },
      due: { maker, name },
    });
  }
  const holds = guide.revisions.holds.includes(device.revision);
  if (revision.holds !== holds) {
    say('opened.revision', `the guide ${holds ? 'holds' : 'does not hold'} for revision ${device.revision}`, {
      stands: revision.holds,
      due: holds,
    });
  }
  const known = guide.revisions.not.find((one) => one.revision === device.revision)?.reason;
  if (known !== undefined && !holds && revision.reason !== known) {
    say('opened.revision', 'the reason against this revision is not the one that the guide gives');
  }
  if (!holds && revision.override === undefined) {
    say('opened.revision', 'the guide does not hold for this revision, and nobody said why it was used all the same');
  }
}
