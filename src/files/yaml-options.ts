/** How every YAML file of a person is read: by YAML 1.2, with errors as data. */
export const yamlOptions = {
  prettyErrors: false,
  logLevel: 'error',
  version: '1.2',
  // a tag like !!binary makes objects whose members are no fields
  resolveKnownTags: false,
} as const;
