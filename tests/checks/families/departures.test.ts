import { testFamily } from '../family.ts';

testFamily('departures');
