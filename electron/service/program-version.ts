import about from '../../package.json' with { type: 'json' };

export const PROGRAM_VERSION: string = about.version;
