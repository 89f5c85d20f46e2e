/** `true`: written to a link that then held long enough. `unknown`: written, but the link went before that was sure. `false`: not written. */
export type Sent = boolean | 'unknown'
