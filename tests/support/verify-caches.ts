import { verifyCaches } from '../../shared/memo.ts';

// With ENGINEWRIGHT_VERIFY=1 every cache hit is computed again and compared; a stale entry fails the test.
verifyCaches(process.env.ENGINEWRIGHT_VERIFY === '1');
