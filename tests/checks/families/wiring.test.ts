import { testFamily } from '../family.ts';

testFamily('wiring');
