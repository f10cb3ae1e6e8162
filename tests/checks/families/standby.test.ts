import { testFamily } from '../family.ts';

testFamily('standby');
