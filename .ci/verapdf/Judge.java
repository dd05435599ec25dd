import java.io.File;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.TreeSet;
import java.util.stream.Collectors;
import org.verapdf.gf.foundry.VeraGreenfieldFoundryProvider;
import org.verapdf.pdfa.Foundries;
import org.verapdf.pdfa.PDFAParser;
import org.verapdf.pdfa.PDFAValidator;
import org.verapdf.pdfa.flavours.PDFAFlavour;
import org.verapdf.pdfa.results.TestAssertion;
import org.verapdf.pdfa.results.ValidationResult;

/** Judges PDF files by every PDF/A and PDF/UA part that they claim: one line a file and part.
 *  Arguments: a text file that names the PDFs, one a line. Exit code 1 when any fails. */
public final class Judge {
    public static void main(String[] arguments) throws Exception {
        VeraGreenfieldFoundryProvider.initialise();
        boolean sound = true;
        for (String name : Files.readAllLines(Path.of(arguments[0]))) {
            sound &= judged(new File(name));
        }
        System.exit(sound ? 0 : 1);
    }

    private static boolean judged(File file) throws Exception {
        List<PDFAFlavour> claimed;
        try (PDFAParser parser = Foundries.defaultInstance().createParser(file)) {
            claimed = new ArrayList<>(parser.getFlavours());
        }
        claimed.remove(PDFAFlavour.NO_FLAVOUR);
        if (claimed.isEmpty()) {
            System.out.println("claims nothing\t-\t" + file);
            return true;
        }
        boolean sound = true;
        for (PDFAFlavour flavour : claimed) {
            sound &= judged(file, flavour);
        }
        return sound;
    }

    private static boolean judged(File file, PDFAFlavour flavour) throws Exception {
        try (PDFAParser parser = Foundries.defaultInstance().createParser(file, flavour);
                PDFAValidator judge = Foundries.defaultInstance().createValidator(flavour, false)) {
            ValidationResult result = judge.validate(parser);
            String word = result.isCompliant() ? "PASS" : "FAIL";
            System.out.println(word + "\t" + flavour.getId() + "\t" + file);
            for (String fault : faults(result)) {
                System.out.println("\t" + fault);
            }
            return result.isCompliant();
        }
    }

    private static TreeSet<String> faults(ValidationResult result) {
        return result.getTestAssertions().stream()
                .filter(one -> one.getStatus() == TestAssertion.Status.FAILED)
                .map(one -> one.getRuleId().getClause() + "-" + one.getRuleId().getTestNumber()
                        + " " + one.getMessage())
                .collect(Collectors.toCollection(TreeSet::new));
    }
}
