/** What keys about the bench itself mean. */
export const keysOfBenches = {
  key: 'a setting, by name',
  origin: 'what says it: default, a variable, or a file',
  overruled: 'what says it too, and counts for nothing',
  userFile: "the person's file of settings",
  shopFile: "the shop's file of settings",
  settings: 'every setting',
  mend: 'the one command that mends it, or what to do',
  pem: 'the public key as PEM',
  succession: 'how earlier keys of the bench led to this one',
} as const;
