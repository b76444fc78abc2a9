// Compressed MusicXML (MusicXML 4.0, "Compressed .mxl files"): a zip archive whose META-INF/container.xml names the
// score.
#include "xml_score.hpp"
#include "zip_files.hpp"

using namespace firmus;

namespace {

const std::string one_note = xml_song(xml_measure("1", xml_begin() + xml_note("C4", 16)));

std::string container(const std::string& files) {
  return "<?xml version=\"1.0\"?><container><rootfiles>" + files + "</rootfiles></container>";
}
std::string named(const std::string& path) {
  return container("<rootfile full-path=\"" + path + "\"/>");
}

}  // namespace

TEST_CASE("the first root file that is MusicXML is read") {
  const std::string files =
      "<rootfile full-path=\"song.pdf\" media-type=\"application/pdf\"/>"
      "<rootfile full-path=\"in/song.musicxml\" media-type=\"application/vnd.recordare.musicxml+xml\"/>";
  CHECK(timeline(read_line(zip_archive(
            {{"META-INF/container.xml", container(files)}, {"song.pdf", "%PDF"}, {"in/song.musicxml", one_note}}))) ==
        "C4@0+4");
  CHECK(timeline(read_line(zip_archive({{"META-INF/container.xml", named("a.xml")}, {"a.xml", one_note}}))) ==
        "C4@0+4");
  CHECK(timeline(read_line(zip_archive({{"song.xml", one_note}}))) == "C4@0+4");
}

TEST_CASE("archives that hold no score, or name one elsewhere, are refused") {
  CHECK(refusal(zip_archive({{"notes.txt", "C4"}})) ==
        "song: is a zip archive without a MusicXML score; export the score as MusicXML");
  CHECK(refusal(zip_archive({{"META-INF/container.xml", named("gone.xml")}})) ==
        "song: names \"gone.xml\", which is not in the archive; export the score again");
  for (const char* path : {"../../etc/passwd", "/etc/passwd", "a/../../b.xml", "C:\\b.xml"})
    CHECK(refusal(zip_archive({{"META-INF/container.xml", named(path)}})).find("a path that leaves the archive") !=
          std::string::npos);
  CHECK(refusal("PK\x03\x04 and no more").find("is a damaged zip archive") != std::string::npos);
}

TEST_CASE("what unpacks without end is refused at once") {
  const std::string bomb =
      zip_archive({{"META-INF/container.xml", named("a.xml")}, {"a.xml", std::string(80 << 20, ' ')}});
  CHECK(bomb.size() < 200'000);
  CHECK(refusal(bomb) == "song: unpacks to more than 64 MiB, the most a score may have; export one song");
}

TEST_CASE("a damaged entry is refused") {
  std::string archive = zip_archive({{"META-INF/container.xml", named("a.xml")}, {"a.xml", one_note}});
  for (std::size_t at = archive.find("a.xml", archive.find("a.xml") + 5) + 8;
       at < archive.size() && archive.compare(at, 2, "PK") != 0; ++at)
    archive[at] = '\x55';
  CHECK_FALSE(refusal(archive).empty());
}
