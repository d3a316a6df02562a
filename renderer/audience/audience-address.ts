/** Where a second screen finds its view. */
export const AUDIENCE_ADDRESS = '/audience';
