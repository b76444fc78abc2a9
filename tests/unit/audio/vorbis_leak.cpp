// Suppresses a leak of libsndfile 1.2.0 that the tests with damaged headers reach: it does not free the Vorbis decoder
// of a file whose header it rejects.
extern "C" const char* __lsan_default_suppressions();
extern "C" const char* __lsan_default_suppressions() {
  return "leak:vorbis_info_init\n";
}
