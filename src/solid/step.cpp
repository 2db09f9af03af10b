// STEP AP214 by the library's writer, with our own header so that the same parts give the same bytes.
#include <APIHeaderSection_MakeHeader.hxx>
#include <BRep_Builder.hxx>
#include <Interface_Static.hxx>
#include <Message.hxx>
#include <Message_Messenger.hxx>
#include <Quantity_Color.hxx>
#include <STEPCAFControl_Writer.hxx>
#include <STEPConstruct_Styles.hxx>
#include <STEPControl_Controller.hxx>
#include <Standard_Failure.hxx>
#include <StepData_Protocol.hxx>
#include <StepData_StepModel.hxx>
#include <StepData_StepWriter.hxx>
#include <StepRepr_NextAssemblyUsageOccurrence.hxx>
#include <StepRepr_RepresentationContext.hxx>
#include <StepVisual_Colour.hxx>
#include <StepVisual_MechanicalDesignGeometricPresentationRepresentation.hxx>
#include <StepVisual_PresentationStyleAssignment.hxx>
#include <StepVisual_StyledItem.hxx>
#include <TCollection_HAsciiString.hxx>
#include <TDataStd_Name.hxx>
#include <TDocStd_Document.hxx>
#include <TopoDS_Compound.hxx>
#include <XCAFApp_Application.hxx>
#include <XCAFDoc_DocumentTool.hxx>
#include <XCAFDoc_ShapeTool.hxx>
#include <XSControl_WorkSession.hxx>
#include <mutex>
#include <sstream>

#include "solid/colours.h"
#include "solid/shape.h"

namespace halfround::solid {

using base::Problem;
using base::Result;

namespace {

/// The library keeps its exchange settings for the whole process.
std::mutex& exchange() {
  static std::mutex one;
  return one;
}

void millimetres_only() {
  STEPControl_Controller::Init();
  Interface_Static::SetCVal("write.step.unit", "MM");
  Interface_Static::SetCVal("xstep.cascade.unit", "MM");
  Interface_Static::SetCVal("write.step.schema", "AP214IS");
  Interface_Static::SetIVal("write.surfacecurve.mode", 0);  // edges in space say all; readers find the rest
  Interface_Static::SetIVal("write.step.nonmanifold", 0);
}

/// The library numbers what is placed through the whole life of the process; here each file begins with 1.
void number_again(const Handle(StepData_StepModel) & model) {
  int next = 1;
  for (int i = 1; i <= model->NbEntities(); ++i) {
    const auto placed = Handle(StepRepr_NextAssemblyUsageOccurrence)::DownCast(model->Value(i));
    if (!placed.IsNull()) placed->SetId(new TCollection_HAsciiString(next++));
  }
}

/// The library talks on standard output while it writes.
class Quiet {
 public:
  Quiet() : kept_(Message::DefaultMessenger()->Printers()) {
    Message::DefaultMessenger()->ChangePrinters().Clear();
  }
  ~Quiet() { Message::DefaultMessenger()->ChangePrinters() = kept_; }
  Quiet(const Quiet&) = delete;
  Quiet& operator=(const Quiet&) = delete;

 private:
  Message_SequenceOfPrinters kept_;
};

void fill(const Handle(TDocStd_Document) & document, const std::vector<Part>& parts,
          const std::string& name) {
  const Handle(XCAFDoc_ShapeTool) shapes = XCAFDoc_DocumentTool::ShapeTool(document->Main());
  const TDF_Label fork = shapes->NewShape();
  TDataStd_Name::Set(fork, TCollection_ExtendedString(name.c_str(), true));
  for (const Part& part : parts) {
    const TDF_Label label = shapes->AddShape(part.shape->solid, false);
    TDataStd_Name::Set(label, TCollection_ExtendedString(bike::spoken(part.part).c_str(), true));
    const TDF_Label placed = shapes->AddComponent(fork, label, TopLoc_Location());
    TDataStd_Name::Set(placed, TCollection_ExtendedString(bike::spoken(part.part).c_str(), true));
  }
  shapes->UpdateAssemblies();
}

/// Part after part in the order given: the library's own way takes them by their address in memory, another
/// one in every run.
bool paint(const Handle(XSControl_WorkSession) & session, const std::vector<Part>& parts) {
  for (const Part& part : parts) {
    const Colour c = colour_of(part.part.kind);
    const Handle(StepVisual_Colour) colour =
        STEPConstruct_Styles::EncodeColor(Quantity_Color(c.red, c.green, c.blue, Quantity_TOC_sRGB));
    STEPConstruct_Styles styles(session);
    const auto style = styles.MakeColorPSA(nullptr, colour, colour, colour, 0);
    if (styles.AddStyle(part.shape->solid, style, nullptr).IsNull()) return false;
    Handle(StepVisual_MechanicalDesignGeometricPresentationRepresentation) painted;
    if (!styles.CreateMDGPR(styles.FindContext(part.shape->solid), painted)) return false;
    session->Model()->AddWithRefs(painted);
  }
  return true;
}

}  // namespace

Result<std::string> to_step(const std::vector<Part>& parts, const std::string& name) {
  if (const auto checked = sound(parts); !checked) return tl::unexpected(checked.error());
  const std::lock_guard<std::mutex> alone(exchange());
  const auto refused = [](const std::string& why) {
    return tl::unexpected(Problem{
        "step-unwritten", {}, "The STEP file could not be made: " + why + ".", "Please report the job."});
  };
  try {
    millimetres_only();
    const Quiet quiet;
    const Handle(XCAFApp_Application) application = XCAFApp_Application::GetApplication();
    Handle(TDocStd_Document) document;
    application->NewDocument("BinXCAF", document);
    fill(document, parts, name);
    STEPCAFControl_Writer writer;
    writer.SetColorMode(false), writer.SetNameMode(true), writer.SetLayerMode(false),
        writer.SetPropsMode(false);
    const bool done = writer.Transfer(document, STEPControl_AsIs);
    application->Close(document);
    if (!done) return refused("a part was not taken");
    if (!paint(writer.ChangeWriter().WS(), parts)) return refused("a part's colour was not taken");
    const Handle(StepData_StepModel) model = writer.ChangeWriter().Model();
    number_again(model);
    APIHeaderSection_MakeHeader header(model);
    const auto text = [](const std::string& s) { return new TCollection_HAsciiString(s.c_str()); };
    header.SetName(text(name));
    header.SetTimeStamp(text("2000-01-01T00:00:00"));  // no clock: the same job, the same bytes
    header.SetAuthorValue(1, text("")), header.SetOrganizationValue(1, text(""));
    header.SetOriginatingSystem(text("Halfround")), header.SetPreprocessorVersion(text("Halfround"));
    header.SetAuthorisation(text(""));
    StepData_StepWriter file(model);
    file.SendModel(Handle(StepData_Protocol)::DownCast(model->Protocol()));
    std::ostringstream out;
    out.imbue(std::locale::classic());
    if (!file.Print(out)) return refused("its text was not written");
    return out.str();
  } catch (const Standard_Failure& e) {
    return refused(e.GetMessageString());
  }
}

}  // namespace halfround::solid
