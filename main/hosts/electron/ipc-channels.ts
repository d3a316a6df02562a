export const requestChannel = 'proofarm:request';
export const eventChannel = 'proofarm:event';
