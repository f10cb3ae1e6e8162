import { verifyKept } from '../../shared/memo.ts';

// ENGINEWRIGHT_VERIFY=1: every result that is kept is made again at each use, and a difference fails the test.
verifyKept(process.env.ENGINEWRIGHT_VERIFY === '1');
