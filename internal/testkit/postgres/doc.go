// Package postgres gives a test a place of its own on the PostgreSQL server that
// BAREFRAME_TEST_POSTGRES names. Without one the test is skipped and says so;
// with BAREFRAME_NO_SKIP=1 that is a failure.
package postgres
