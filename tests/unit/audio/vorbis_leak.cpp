// libsndfile 1.2.0 forgets the Vorbis decoder of a file whose header it refuses: the tests with damaged headers show
// it.
extern "C" const char* __lsan_default_suppressions();
extern "C" const char* __lsan_default_suppressions() {
  return "leak:vorbis_info_init\n";
}
