import { answerCustom, type Feature } from './feature.ts';

export const proofs: Feature = {
  capabilities: {},
  listen: (connection, { settled }) => {
    answerCustom(connection, 'enginewright/proof', async (params, token) => ({
      isCurrent: await settled(params, token),
    }));
  },
};
