import type { PictureContent } from '../../files/read-picture.ts';
import type { Guide } from '../../guide/types.ts';
import type { ReadingBatch } from '../../protocol/reading-batch.ts';
import { pictureName } from '../../record/pictures/kept-pictures.ts';
import type { JobRecord } from '../../record/store/record.ts';
import { noReadings, withBatch, withoutTrace } from '../../session/engine/recent-readings.ts';
import type { StateChange } from '../../session/engine/session-parts.ts';
import type { JobSessionEvent, JobSessionState } from '../../session/job/job-session-state.ts';
import { jobView } from '../../view/job/job-view.ts';
import { freshUi } from '../../view/job/keyboard.ts';
import type { JobFace } from '../job/job-session.ts';
import { recordPhotos } from '../pictures/record-photos.ts';
import type { Context } from '../program/context.ts';
import { openPage, type PageOptions } from './open-page.ts';

/** Returns the page as a face of a job's session; none when none is wanted. */
export function jobPage(
  guide: Guide,
  record: Pick<JobRecord, 'path' | 'state'>,
  options: PageOptions,
  context: Context,
): Promise<JobFace[]> {
  return openPage<JobSessionState, JobSessionEvent>(() => jobShown(guide, record), options, context);
}

async function jobShown(guide: Guide, record: Pick<JobRecord, 'path' | 'state'>) {
  const [{ jobPanels, jobPlaces }, { layOut }] = await Promise.all([
    import('../../page/job/job-panels.tsx'),
    import('../../picture/lay-out.ts'),
  ]);
  const { maker, name } = guide.device;
  // laid out before the session begins: it would hold readings up
  const address = (content: PictureContent): string => `/picture/${pictureName(content)}`;
  const { photos, lacking } = await recordPhotos(guide, record, address);
  const pictures = new Map(photos.map(({ content }) => [pictureName(content), content]));
  const page = { guide, diagram: await layOut(guide), photos, lacking };
  let live = noReadings();
  return {
    title: `${maker} ${name}`,
    places: jobPlaces,
    pictures,
    panels: (state: JobSessionState) => jobPanels(jobView(state, live, freshUi()), page),
    onState({ event }: StateChange<JobSessionState, JobSessionEvent>) {
      if (event.type === 'disconnected') live = withoutTrace(live);
    },
    onReadings(batch: ReadingBatch, { probe }: JobSessionState) {
      if (probe !== null) live = withBatch(live, batch, probe.calibration);
    },
  };
}
