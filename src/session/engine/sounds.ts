/** What the probe sounds for. */
export type Sound = 'beat' | 'closing' | 'pass' | 'fail' | 'borderline' | 'unsteady' | 'no-contact' | 'live';

/**
 * Tones through the probe, so that a technician whose eyes are on the board hears the outcome; no
 * two are near in pitch.
 */
export const sounds: Record<Sound, { frequencyHz: number; durationMs: number }> = {
  beat: { frequencyHz: 1000, durationMs: 30 },
  closing: { frequencyHz: 1320, durationMs: 60 },
  pass: { frequencyHz: 1760, durationMs: 90 },
  fail: { frequencyHz: 330, durationMs: 350 },
  borderline: { frequencyHz: 740, durationMs: 220 },
  unsteady: { frequencyHz: 520, durationMs: 160 },
  'no-contact': { frequencyHz: 440, durationMs: 120 },
  live: { frequencyHz: 2600, durationMs: 600 },
};
