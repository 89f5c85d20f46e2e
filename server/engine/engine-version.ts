/** The version of the engine: stored with recordings, since blocks are byte-identical only within one version. */
export const engineVersion = '0.2.0'
