import { asyncScheduler, type Observable, type SchedulerLike, Subject, throttleTime } from 'rxjs';

/** At most fifteen frames a second. */
export const frameMs = 1000 / 15;

/** Tells a screen when to draw. */
export interface FramePace {
  /** Something that the screen shows has changed. */
  changed(): void;
  /** Each item of the stream is a change, once `seen` has taken it. */
  follow<T>(stream$: Observable<T>, seen: (item: T) => void): void;
  stop(): void;
}

/**
 * Returns a pace that calls `draw` for the first change at once and then at most once per frame
 * time, with the latest state. What happens between two frames is never drawn. Drawing never delays
 * evidence by more than one frame's cost.
 */
export function paceFrames(draw: () => void, scheduler: SchedulerLike = asyncScheduler): FramePace {
  const changes$ = new Subject<void>();
  const frames = changes$.pipe(throttleTime(frameMs, scheduler, { leading: true, trailing: true })).subscribe(draw);
  const changed = () => changes$.next();
  return {
    changed,
    follow(stream$, seen) {
      frames.add(
        stream$.subscribe((item) => {
          seen(item);
          changed();
        }),
      );
    },
    stop: () => frames.unsubscribe(),
  };
}
