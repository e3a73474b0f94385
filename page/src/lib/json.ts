/** Any JSON: what a blank or a request may hold before the server has read it. */
export type Json = null | boolean | number | string | Json[] | { [key: string]: Json };
